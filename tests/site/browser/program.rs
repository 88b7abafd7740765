//! Programs that run beside the tests: drivers of browsers, and a screen for the browser that needs one.

use std::{
    io::{BufRead, BufReader},
    net::{TcpListener, TcpStream},
    os::unix::process::CommandExt,
    process::{Child, Command, Stdio},
    time::{Duration, Instant},
};

pub const MISSING: &str = "could not be started. The browser tests need three browsers with their drivers: on Debian, \
                           packages chromium, chromium-driver, firefox-esr, webkit2gtk-driver and xvfb, and geckodriver \
                           by `cargo install`; `bash tests/run.sh` installs them";

/// A program and all that it starts; they end with this value, and with the tests, however these end.
pub struct Program {
    process: Child,
    /// Ends them when nobody holds the other end of its input any more: nothing is dropped in tests that are killed.
    guard: Child,
    /// Where a driver listens.
    pub address: String,
}

impl Program {
    fn start(mut command: Command) -> Self {
        let name = command.get_program().to_string_lossy().into_owned();
        command.process_group(0).stdin(Stdio::null()).stderr(Stdio::null());
        let process = command.spawn().unwrap_or_else(|error| panic!("{name} {MISSING} ({error})"));
        // In a group of its own, so that a key that interrupts the tests leaves it to do its work.
        let mut guard = Command::new("sh");
        guard.args(["-c", "read -r _; kill -9 \"-$0\"", &process.id().to_string()]).process_group(0);
        let guard = guard.stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::null()).spawn();
        let guard = guard.expect("a shell is where the tests run");
        Self { process, guard, address: String::new() }
    }

    /// Whether it answers on `port` before it ends and within five minutes.
    fn listens(&mut self, port: u16) -> bool {
        let begun = Instant::now();
        while begun.elapsed() < Duration::from_secs(300) && matches!(self.process.try_wait(), Ok(None)) {
            if TcpStream::connect(("127.0.0.1", port)).is_ok() {
                return true;
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        false
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        // The group has the number of its first process; what a driver started is in it.
        drop(self.guard.stdin.take());
        let ended = self.guard.wait().and_then(|_| self.process.kill()).and_then(|()| self.process.wait());
        if let Err(error) = ended {
            eprintln!("a program of the tests could not be ended: {error}");
        }
    }
}

/// Starts a driver on a port that is free.
pub fn driver(name: &str, arguments: &[&str], environment: &[(&str, String)]) -> Program {
    for _ in 0..5 {
        let port = TcpListener::bind(("127.0.0.1", 0)).and_then(|free| free.local_addr()).unwrap().port();
        let mut command = Command::new(name);
        command.arg(format!("--port={port}")).args(arguments).stdout(Stdio::null());
        command.envs(environment.iter().map(|(key, value)| (key, value)));
        let mut program = Program::start(command);
        if program.listens(port) {
            program.address = format!("http://127.0.0.1:{port}");
            return program;
        }
    }
    panic!("{name} {MISSING} (it does not listen)")
}

/// Starts a screen that nobody sees, and gives its name.
pub fn display() -> (Program, String) {
    let mut command = Command::new("Xvfb");
    command.args(["-displayfd", "1", "-screen", "0", "1400x1100x24", "-nolisten", "tcp"]).stdout(Stdio::piped());
    let mut program = Program::start(command);
    let mut number = String::new();
    let read = BufReader::new(program.process.stdout.as_mut().unwrap()).read_line(&mut number);
    assert!(read.is_ok() && !number.trim().is_empty(), "Xvfb {MISSING} (it names no screen)");
    (program, format!(":{}", number.trim()))
}
