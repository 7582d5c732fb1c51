//! The program that steers the browsers: started once, ended however the tests end.

use crate::engine::Engine;
use std::net::{TcpListener, TcpStream};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;
use std::time::{Duration, Instant};
use std::{env, fs, process, thread};

/// The driver's keeper is a shell that waits for the end of its input. That comes when this
/// program ends, in whichever way, killed or not; then driver, browsers and profiles go.
/// Browsers are known by their folder, since they leave the driver's process group.
const KEEPER: &str = r#"
folder=$1; shift
"$@" </dev/null >/dev/null 2>&1 &
read -r _
kill $! 2>/dev/null
for process in /proc/[0-9]*; do
    if tr '\0' ' ' <"$process/cmdline" 2>/dev/null | grep -qF -e "--user-data-dir=$folder/"; then
        kill -9 "${process#/proc/}" 2>/dev/null
    fi
done
wait
rm -rf "$folder"
"#;

/// A driver that runs.
pub struct Driver {
    port: u16,
    folder: PathBuf,
    // Holds the keeper's input open for as long as this program runs.
    _keeper: Child,
}

impl Driver {
    /// Where it listens.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// A folder that goes when the tests end.
    pub fn folder(&self) -> &Path {
        &self.folder
    }
}

/// The driver of these tests; the first call starts it.
pub fn running() -> &'static Driver {
    static DRIVER: OnceLock<Driver> = OnceLock::new();
    DRIVER.get_or_init(|| start(Engine::wanted()))
}

fn start(engine: Engine) -> Driver {
    let folder = env::temp_dir().join(format!("lettertally-browser-{}", process::id()));
    fs::create_dir_all(&folder).expect("a folder for profiles");
    let port = TcpListener::bind(("127.0.0.1", 0)).and_then(|l| l.local_addr()).expect("a free port").port();
    let mut keeper = Command::new("sh")
        .args(["-c", KEEPER, "keeper"])
        .arg(&folder)
        .arg(engine.driver())
        .args(engine.driver_arguments(port))
        // a group of its own: an interrupt at the terminal ends this program, and so the keeper
        .process_group(0)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("a shell");
    let began = Instant::now();
    while TcpStream::connect(("127.0.0.1", port)).is_err() {
        if began.elapsed() > Duration::from_secs(20) {
            drop(keeper.stdin.take());
            panic!("{} does not answer: is it on the PATH?", engine.driver());
        }
        thread::sleep(Duration::from_millis(30));
    }
    Driver { port, folder, _keeper: keeper }
}
