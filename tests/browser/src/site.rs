//! A web server for the built page, in a folder of its own, that remembers what it was asked.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, PoisonError, RwLock};
use std::thread::JoinHandle;
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

/// How long browsers may keep what they were given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holding {
    /// Not at all.
    Nothing,
    /// A year, the page itself too, as some hosts have it.
    AYear,
}

type Files = BTreeMap<String, Vec<u8>>;

/// What is served, and what was asked for.
struct Shelf {
    files: RwLock<Files>,
    holding: Holding,
    requests: Mutex<Vec<Request>>,
    is_open: AtomicBool,
}

/// The page, served until the program ends or the server is stopped.
pub struct Site {
    address: SocketAddr,
    shelf: Arc<Shelf>,
    server: Mutex<Option<JoinHandle<()>>>,
}

impl Site {
    /// Serves the built page on a free port of this machine.
    pub fn serve() -> Self {
        Self::serve_folder(&dist(), Holding::Nothing)
    }

    /// Serves a folder like the built page's.
    pub fn serve_folder(folder: &Path, holding: Holding) -> Self {
        let listener = TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
        let address = listener.local_addr().expect("the port's number");
        let shelf = Arc::new(Shelf {
            files: RwLock::new(files_of(folder)),
            holding,
            requests: Mutex::default(),
            is_open: AtomicBool::new(true),
        });
        let server = Mutex::new(Some(open(listener, Arc::clone(&shelf))));
        Self { address, shelf, server }
    }

    /// Stops the server: whoever calls finds nobody there.
    pub fn stop(&self) {
        let Some(server) = self.server.lock().unwrap_or_else(PoisonError::into_inner).take() else {
            return;
        };
        self.shelf.is_open.store(false, Ordering::SeqCst);
        // It sleeps until somebody calls.
        let _ = TcpStream::connect(self.address);
        server.join().expect("the server to end");
    }

    /// Starts it again where it was.
    pub fn start(&self) {
        let listener = TcpListener::bind(self.address).expect("the same port");
        self.shelf.is_open.store(true, Ordering::SeqCst);
        let server = open(listener, Arc::clone(&self.shelf));
        *self.server.lock().unwrap_or_else(PoisonError::into_inner) = Some(server);
    }

    /// Serves what is in another folder from now on.
    pub fn publish(&self, folder: &Path) {
        *self.shelf.files.write().unwrap_or_else(PoisonError::into_inner) = files_of(folder);
    }

    /// Serves one more file, which is not the page's.
    pub fn put(&self, name: &str, text: &str) {
        let mut files = self.shelf.files.write().unwrap_or_else(PoisonError::into_inner);
        files.insert(format!("{FOLDER}{name}"), text.as_bytes().to_vec());
    }

    /// Where the page is.
    pub fn address(&self) -> String {
        format!("http://{}{FOLDER}", self.address)
    }

    /// Where it is by another name of this machine, which a browser does not take for safe.
    pub fn address_by_name(&self) -> String {
        format!("http://kiteway.test:{}{FOLDER}", self.address.port())
    }

    /// Everything that was asked for so far.
    pub fn requests(&self) -> Vec<Request> {
        self.shelf.requests.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Forgets what was asked for so far.
    pub fn forget_requests(&self) {
        self.shelf.requests.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }

    /// The files that were asked for so far, by their names within the folder.
    pub fn files_asked_for(&self) -> Vec<String> {
        let name = |request: Request| request.path.trim_start_matches(FOLDER).to_owned();
        self.requests().into_iter().map(name).collect()
    }

    /// Fails where anything but the page's own files was asked for.
    pub fn was_asked_only_for_own_files(&self) {
        let files = self.shelf.files.read().unwrap_or_else(PoisonError::into_inner);
        let own = |request: &Request| request.status == 200 && files.contains_key(&request.path);
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

fn open(listener: TcpListener, shelf: Arc<Shelf>) -> JoinHandle<()> {
    thread::spawn(move || {
        for stream in listener.incoming().flatten() {
            if !shelf.is_open.load(Ordering::SeqCst) {
                return;
            }
            let shelf = Arc::clone(&shelf);
            // A browser that hangs up half way is its own affair.
            thread::spawn(move || answer(stream, &shelf));
        }
    })
}

/// The folder of the built page.
pub fn dist() -> PathBuf {
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

fn files_of(dist: &Path) -> Files {
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

fn answer(mut stream: TcpStream, shelf: &Shelf) -> Option<()> {
    let mut head = String::new();
    let mut reader = BufReader::new(stream.try_clone().ok()?);
    while !head.ends_with("\r\n\r\n") {
        // A connection that is opened ahead of time and never used says nothing.
        if reader.read_line(&mut head).ok()? == 0 {
            return None;
        }
    }
    let path = head.split(' ').nth(1)?.to_owned();
    let found = shelf.files.read().unwrap_or_else(PoisonError::into_inner).get(&path).cloned();
    let (status, words, body) = match found {
        Some(body) => (200, "OK", body),
        None => (404, "Not Found", b"not here".to_vec()),
    };
    let request = Request { path: path.clone(), head, status };
    shelf.requests.lock().unwrap_or_else(PoisonError::into_inner).push(request);
    let kind = if status == 200 { kind_of(&path) } else { "text/plain" };
    let length = body.len();
    let holding = match shelf.holding {
        Holding::Nothing => "no-store",
        Holding::AYear => "max-age=31536000",
    };
    let head = format!(
        "HTTP/1.1 {status} {words}\r\nContent-Type: {kind}\r\nContent-Length: {length}\r\nCache-Control: {holding}\r\nConnection: close\r\n\r\n"
    );
    stream.write_all(head.as_bytes()).ok()?;
    stream.write_all(&body).ok()
}

fn kind_of(path: &str) -> &'static str {
    match path.rsplit('.').next() {
        Some("js") => "text/javascript",
        Some("css") => "text/css",
        Some("wasm") => "application/wasm",
        Some("svg") => "image/svg+xml",
        Some("json") => "application/json",
        Some("webmanifest") => "application/manifest+json",
        Some("png") => "image/png",
        _ => "text/html; charset=utf-8",
    }
}
