//! What a browser keeps between two starts: a folder that goes when the last one lets go of it.

use crate::driver;
use std::fs;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::atomic::{AtomicU32, Ordering};

/// A browser's memory.
#[derive(Clone)]
pub struct Profile {
    folder: Rc<Folder>,
    keeps_nothing: bool,
}

struct Folder(PathBuf);

impl Drop for Folder {
    fn drop(&mut self) {
        // What cannot be removed now goes when the tests end.
        let _ = fs::remove_dir_all(&self.0);
    }
}

impl Profile {
    /// A browser that has never seen the page.
    pub fn fresh() -> Self {
        static NEXT: AtomicU32 = AtomicU32::new(1);
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let folder = driver::folder().join(format!("profile-{number}"));
        fs::create_dir_all(&folder).expect("a folder for a profile");
        Self { folder: Rc::new(Folder(folder)), keeps_nothing: false }
    }

    /// A browser whose owner has forbidden pages to keep anything.
    pub fn that_keeps_nothing() -> Self {
        Self { keeps_nothing: true, ..Self::fresh() }
    }

    /// Where it is.
    pub fn folder(&self) -> &Path {
        &self.folder.0
    }

    /// Whether pages may not keep anything.
    pub fn keeps_nothing(&self) -> bool {
        self.keeps_nothing
    }
}
