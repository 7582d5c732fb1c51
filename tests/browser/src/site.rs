//! A web server for the built page, in a folder of its own, that remembers what it was asked.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::{env, fs, thread};

/// The page works in any folder: so it is served from one that nothing in it knows.
const FOLDER: &str = "/some/shop/";

/// One request, as the server saw it.
#[derive(Debug, Clone)]
pub struct Request {
    /// The path that was asked for.
    pub path: String,
    /// The whole head, every header included.
    pub head: String,
    /// The answer's status.
    pub status: u16,
}

/// The page, served until the program ends.
pub struct Site {
    address: SocketAddr,
    files: BTreeMap<String, Vec<u8>>,
    requests: Arc<Mutex<Vec<Request>>>,
}

impl Site {
    /// Serves the built page on a free port of this machine.
    pub fn serve() -> Self {
        let files = files_of(&dist());
        let listener = TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
        let address = listener.local_addr().expect("the port's number");
        let requests = Arc::new(Mutex::new(Vec::new()));
        let (shared_files, shared_requests) = (Arc::new(files.clone()), Arc::clone(&requests));
        thread::spawn(move || {
            for stream in listener.incoming().flatten() {
                let (files, requests) = (Arc::clone(&shared_files), Arc::clone(&shared_requests));
                // A browser that hangs up half way is its own affair.
                thread::spawn(move || answer(stream, &files, &requests));
            }
        });
        Self { address, files, requests }
    }

    /// Where the page is.
    pub fn address(&self) -> String {
        format!("http://{}{FOLDER}", self.address)
    }

    /// Everything that was asked for so far.
    pub fn requests(&self) -> Vec<Request> {
        self.requests.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Fails where anything but the page's own files was asked for.
    pub fn was_asked_only_for_own_files(&self) {
        let own = |request: &Request| request.status == 200 && self.files.contains_key(&request.path);
        let strange: Vec<_> = self.requests().into_iter().filter(|request| !own(request)).collect();
        assert!(strange.is_empty(), "asked for what is not the page's own: {strange:#?}");
    }

    /// Fails where one of these words reached the server in any part of a request.
    pub fn never_heard_of(&self, words: &[&str]) {
        for request in self.requests() {
            let head = request.head.to_lowercase();
            for word in words {
                assert!(!head.contains(&word.to_lowercase()), "the server heard of {word}: {request:#?}");
            }
        }
    }
}

/// The folder of the built page.
fn dist() -> PathBuf {
    // Cargo says where this package is when it runs something; by hand it is where one stands.
    let here = env::var_os("CARGO_MANIFEST_DIR").map_or_else(|| PathBuf::from("."), PathBuf::from);
    let dist = env::var_os("LETTERTALLY_DIST").map_or_else(|| here.join("../../dist"), PathBuf::from);
    assert!(
        dist.join("index.html").is_file(),
        "no built page in {}: run tools/page first, or say where it is in LETTERTALLY_DIST",
        dist.display()
    );
    dist
}

fn files_of(dist: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    for entry in fs::read_dir(dist).expect("the built page").flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if let Ok(bytes) = fs::read(entry.path()) {
            files.insert(format!("{FOLDER}{name}"), bytes);
        }
    }
    let start = files.get(&format!("{FOLDER}index.html")).cloned().expect("index.html");
    files.insert(FOLDER.to_owned(), start);
    files
}

fn answer(
    mut stream: TcpStream,
    files: &BTreeMap<String, Vec<u8>>,
    requests: &Mutex<Vec<Request>>,
) -> Option<()> {
    let mut head = String::new();
    let mut reader = BufReader::new(stream.try_clone().ok()?);
    while !head.ends_with("\r\n\r\n") {
        // A connection that is opened ahead of time and never used says nothing.
        if reader.read_line(&mut head).ok()? == 0 {
            return None;
        }
    }
    let path = head.split(' ').nth(1)?.to_owned();
    let (status, words, body) = match files.get(&path) {
        Some(body) => (200, "OK", body.as_slice()),
        None => (404, "Not Found", &b"not here"[..]),
    };
    let request = Request { path: path.clone(), head, status };
    requests.lock().unwrap_or_else(PoisonError::into_inner).push(request);
    let kind = if status == 200 { kind_of(&path) } else { "text/plain" };
    let length = body.len();
    let head = format!(
        "HTTP/1.1 {status} {words}\r\nContent-Type: {kind}\r\nContent-Length: {length}\r\nCache-Control: no-store\r\nConnection: close\r\n\r\n"
    );
    stream.write_all(head.as_bytes()).ok()?;
    stream.write_all(body).ok()
}

fn kind_of(path: &str) -> &'static str {
    match path.rsplit('.').next() {
        Some("js") => "text/javascript",
        Some("css") => "text/css",
        Some("wasm") => "application/wasm",
        Some("svg") => "image/svg+xml",
        Some("json" | "webmanifest") => "application/json",
        Some("png") => "image/png",
        _ => "text/html; charset=utf-8",
    }
}
