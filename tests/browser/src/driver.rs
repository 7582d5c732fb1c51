//! The programs that steer the browsers, one for each window: two of them steer only one at a
//! time. All end, however the tests end.

use crate::browser::Size;
use crate::engine::Engine;
use crate::profile::Profile;
use std::fs::File;
use std::io::{BufRead, BufReader};
use std::net::{TcpListener, TcpStream};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::{Duration, Instant};
use std::{env, fs, process, thread};

/// What every program that is started for the tests has in its environment, and hands on.
const MARK: &str = "LETTERTALLY_TEST_RUN";

/// The keeper is a shell that waits for the end of its input. That comes when this program ends,
/// in whichever way, killed or not; then drivers, browsers, screens and profiles go. They are
/// known by the mark, since browsers leave the driver's process group.
const KEEPER: &str = r#"
mark=$1 folder=$2
read -r _
for process in /proc/[0-9]*; do
    if tr '\0' '\n' <"$process/environ" 2>/dev/null | grep -qxF -e "$mark"; then
        kill -9 "${process#/proc/}" 2>/dev/null
    fi
done
rm -rf "$folder"
"#;

/// How long a program may take until it answers.
const START: Duration = Duration::from_secs(30);

struct Run {
    folder: PathBuf,
    // Holds the keeper's input open for as long as this program runs.
    _keeper: Child,
}

fn this_run() -> &'static Run {
    static RUN: OnceLock<Run> = OnceLock::new();
    RUN.get_or_init(|| {
        let folder = env::temp_dir().join(format!("lettertally-browser-{}", process::id()));
        fs::create_dir_all(&folder).expect("a folder for profiles");
        let mut run = Command::new("sh");
        run.args(["-c", KEEPER, "keeper"]).arg(format!("{MARK}={}", folder.display())).arg(&folder);
        // a group of its own: an interrupt at the terminal ends this program, and so the keeper
        run.process_group(0).stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::null());
        let keeper = run.spawn().expect("a shell");
        Run { folder, _keeper: keeper }
    })
}

/// A folder that goes when the tests end.
pub fn folder() -> &'static Path {
    &this_run().folder
}

/// A driver that runs, with the screen that its browser needs; both go with it.
pub struct Driver {
    port: u16,
    log: PathBuf,
    processes: Vec<Child>,
}

impl Drop for Driver {
    fn drop(&mut self) {
        for mut process in self.processes.drain(..).rev() {
            // What cannot be ended now, the keeper ends.
            let _ = process.kill();
            let _ = process.wait();
        }
    }
}

impl Driver {
    /// Starts one, and waits until it listens.
    pub fn start(engine: Engine, profile: &Profile) -> Self {
        static NEXT: AtomicU32 = AtomicU32::new(1);
        let log = folder().join(format!("driver-{}", NEXT.fetch_add(1, Ordering::Relaxed)));
        let port =
            TcpListener::bind(("127.0.0.1", 0)).and_then(|l| l.local_addr()).expect("a free port").port();
        let how = engine.start(port, profile);
        let mut driver = Self { port, log, processes: vec![] };
        let mut command = quiet(how.program);
        if let Some(size) = how.screen {
            command.env("DISPLAY", driver.screen(size));
        }
        let written = File::create(&driver.log).expect("a file for what the driver says");
        command.args(how.arguments).envs(how.environment).stdout(written);
        driver.spawn(command, how.program);
        let began = Instant::now();
        while TcpStream::connect(("127.0.0.1", port)).is_err() {
            assert!(began.elapsed() < START, "{} does not answer", how.program);
            thread::sleep(Duration::from_millis(10));
        }
        driver
    }

    /// Where it listens.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// What it and its browser have written so far.
    pub fn written(&self) -> String {
        fs::read(&self.log).map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).unwrap_or_default()
    }

    /// A screen that nobody sees.
    fn screen(&mut self, Size(width, height): Size) -> String {
        let size = format!("{width}x{height}x24");
        let mut command = quiet("Xvfb");
        command.args(["-displayfd", "1", "-screen", "0", &size, "-nolisten", "tcp"]);
        command.stdout(Stdio::piped());
        let screen = self.spawn(command, "Xvfb");
        let mut number = String::new();
        let said = screen.stdout.take().map(|said| BufReader::new(said).read_line(&mut number));
        assert!(said.is_some_and(|read| read.is_ok()) && !number.is_empty(), "Xvfb has no screen to give");
        format!(":{}", number.trim())
    }

    fn spawn(&mut self, mut command: Command, program: &str) -> &mut Child {
        let child = command.spawn().unwrap_or_else(|error| panic!("{program}: {error}; is it on the PATH?"));
        self.processes.push(child);
        self.processes.last_mut().expect("the one just started")
    }
}

/// A program that says nothing and bears the mark of this run.
fn quiet(program: &str) -> Command {
    let (name, folder) = (MARK, folder());
    let mut command = Command::new(program);
    command.env(name, folder).process_group(0);
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command
}
