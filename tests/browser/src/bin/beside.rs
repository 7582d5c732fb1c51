//! Opens the page that `tools/bench-general --page` has made, in which our solver and a general one
//! solve the same problems, and prints what it tells. Ends with a fault where they differ.

use lettertally_browser_tests::{Browser, Holding, Profile, Site};
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Duration;
use std::{env, thread};

fn main() -> ExitCode {
    let Some(folder) = env::args_os().nth(1).map(PathBuf::from) else {
        eprintln!("usage: beside FOLDER: see tools/bench-general");
        return ExitCode::FAILURE;
    };
    let site = Site::serve_folder(&folder, Holding::Nothing);
    let page = Browser::open(&Profile::fresh());
    page.go(&site.address());
    let text = |script: &str| page.ask(script, vec![]).as_str().unwrap_or_default().to_owned();
    println!("{}\n", text("return navigator.userAgent"));
    loop {
        let end = text("return document.documentElement.dataset.end");
        if !end.is_empty() {
            print!("{}", text("return document.querySelector('pre').textContent"));
            return if end == "same" { ExitCode::SUCCESS } else { ExitCode::FAILURE };
        }
        thread::sleep(Duration::from_secs(1));
    }
}
