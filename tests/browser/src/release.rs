//! Another release of the page: a copy of the built one, changed, and released as the build does it.

use crate::driver;
use crate::site::dist;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};
use std::{env, fs};

/// A release in a folder of its own.
pub struct Release {
    folder: PathBuf,
}

impl Drop for Release {
    fn drop(&mut self) {
        // What cannot be removed now goes with the driver's folder.
        let _ = fs::remove_dir_all(&self.folder);
    }
}

impl Release {
    /// The page with another mark in its code and its program, which so gets another name.
    ///
    /// In the page, `document.documentElement.dataset.code` tells the mark.
    pub fn marked(mark: &str) -> Self {
        static NEXT: AtomicU32 = AtomicU32::new(1);
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let folder = driver::folder().join(format!("release-{number}"));
        fs::create_dir_all(&folder).expect("a folder for a release");
        let release = Self { folder };
        for entry in fs::read_dir(dist()).expect("the built page").flatten() {
            fs::copy(entry.path(), release.folder.join(entry.file_name())).expect("a copy");
        }
        let program = release.file("lettertally-page-", ".js");
        release.change(&program, |code| format!("{code}// {mark}\n"));
        let start = release.file("start-", ".js");
        release.change(&start, |code| format!("{code}document.documentElement.dataset.code = \"{mark}\";\n"));
        let tool = env::var_os("CARGO_MANIFEST_DIR").map_or_else(|| PathBuf::from("."), PathBuf::from);
        let done = Command::new(tool.join("../../tools/release"))
            .arg(&release.folder)
            .stdout(Stdio::null())
            .status()
            .expect("tools/release to run");
        assert!(done.success(), "tools/release: {done}");
        release
    }

    /// Where it is.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Its name.
    pub fn name(&self) -> String {
        name_in(&self.folder)
    }

    /// The file whose name begins and ends like this.
    pub fn file(&self, begins: &str, ends: &str) -> String {
        file_in(&self.folder, begins, ends)
    }

    /// Changes a file after the release was made, as when it is damaged on the way.
    pub fn damage(&self, name: &str) {
        let mut bytes = fs::read(self.folder.join(name)).expect("the file");
        bytes.push(b'\n');
        fs::write(self.folder.join(name), bytes).expect("the file");
    }

    fn change(&self, name: &str, change: impl FnOnce(String) -> String) {
        let text = fs::read_to_string(self.folder.join(name)).expect("a text");
        fs::write(self.folder.join(name), change(text)).expect("the text");
    }
}

/// The name of the built page's release.
pub fn name_of_the_built_one() -> String {
    name_in(&dist())
}

fn name_in(folder: &Path) -> String {
    let page = fs::read_to_string(folder.join("index.html")).expect("index.html");
    let name = page.split("data-release=\"").nth(1).and_then(|rest| rest.split('"').next());
    name.expect("the release's name").to_owned()
}

fn file_in(folder: &Path, begins: &str, ends: &str) -> String {
    let names = fs::read_dir(folder).expect("the release").flatten();
    let mut names = names.map(|entry| entry.file_name().to_string_lossy().into_owned());
    names.find(|name| name.starts_with(begins) && name.ends_with(ends)).expect("such a file")
}
