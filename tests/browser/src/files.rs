//! Files that the page hands over, and files that a person opens on it.

use crate::browser::Browser;
use crate::driver;
use crate::page::Scope;
use serde_json::{Value, json};
use std::fs;
use std::sync::atomic::{AtomicU32, Ordering};

impl Browser {
    /// From now on, files that the page hands over are remembered and not saved.
    pub fn catch_files(&self) {
        let script = "window.caught = null;
            URL.createObjectURL = (blob) => { window.caught = { blob }; return '#caught'; };
            URL.revokeObjectURL = () => {};
            HTMLAnchorElement.prototype.click = function () { window.caught.name = this.download; };";
        self.ask(script, vec![]);
    }

    /// The name and the text of the file that was handed over last.
    pub fn caught_file(&self) -> (String, String) {
        self.until("a file is handed over", || {
            self.ask("return window.caught?.name ?? null", vec![]) != Value::Null
        });
        let script = "const done = arguments[0];
            window.caught.blob.arrayBuffer().then((bytes) => {
                const text = new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes);
                const { name } = window.caught;
                window.caught = null;
                done([name, text]);
            });";
        let found = self.ask_and_wait(script, vec![]);
        let part = |at: usize| found[at].as_str().unwrap_or_default().to_owned();
        (part(0), part(1))
    }
}

impl Scope<'_> {
    /// Opens a file with this content, as a person chooses one.
    pub fn open_file(&self, label: &str, name: &str, content: &[u8]) {
        static NEXT: AtomicU32 = AtomicU32::new(0);
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        // It stays until the tests end: the page may still be reading when its input is empty.
        let folder = driver::folder().join(format!("file-{number}"));
        fs::create_dir_all(&folder).expect("a folder for the file");
        let path = folder.join(name);
        fs::write(&path, content).expect("the file");
        self.choose_file(label, &path.to_string_lossy());
        // The page has taken it up when the input is empty again.
        let empty =
            "return [...document.querySelectorAll('input[type=file]')].every((input) => !input.value)";
        let browser = self.browser();
        browser.until("the file is taken up", || browser.ask(empty, vec![]) == json!(true));
    }
}
