//! The real binary, run as a user runs it.
#![allow(dead_code, reason = "each test file uses its part")]

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

/// No command may take longer, on a machine that has other work too.
const PATIENCE: Duration = Duration::from_secs(120);

/// What a command gave back.
pub struct Answer {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Answer {
    fn of(output: Output) -> Self {
        let text = |bytes| String::from_utf8(bytes).expect("answers are UTF-8");
        let code = output.status.code().expect("ended by itself, not by a signal");
        let answer = Self { code, out: text(output.stdout), err: text(output.stderr) };
        assert!(!answer.err.contains("panicked"), "{}", answer.err);
        answer
    }

    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}\n{}", self.out))
    }
}

/// The binary, with these arguments and nothing of the environment that colours its answer.
pub fn command(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tautleaf"));
    command.args(args).env_remove("CLICOLOR_FORCE").env_remove("NO_COLOR");
    command
}

pub fn tautleaf(args: &[&str]) -> Answer {
    finish(command(args), b"")
}

pub fn with_input(args: &[&str], input: &[u8]) -> Answer {
    finish(command(args), input)
}

/// Runs a command to its end, or fails the test if it hangs.
pub fn finish(mut command: Command, input: &[u8]) -> Answer {
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().expect("the binary starts");
    let mut stdin = child.stdin.take().expect("piped");
    let input = input.to_vec();
    // a command that does not read its input closes it early: that is no failure
    thread::spawn(move || drop(stdin.write_all(&input)));
    let (done, waiting) = mpsc::channel();
    thread::spawn(move || done.send(child.wait_with_output()));
    let output = waiting.recv_timeout(PATIENCE).expect("the command hangs");
    Answer::of(output.expect("its output can be read"))
}

/// A folder of its own for one test.
pub struct Folder(tempfile::TempDir);

impl Folder {
    pub fn new() -> Self {
        Self(tempfile::tempdir().expect("a temporary folder"))
    }

    pub fn path(&self, name: &str) -> String {
        self.0.path().join(name).to_str().expect("UTF-8").to_owned()
    }

    pub fn write(&self, name: &str, bytes: impl AsRef<[u8]>) -> String {
        let path = self.path(name);
        std::fs::write(&path, bytes).expect("a file in a temporary folder");
        path
    }
}

/// A scenario that is shipped.
pub fn shipped(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios").join(format!("{name}.toml"));
    path.to_str().expect("UTF-8").to_owned()
}

/// Every scenario that is shipped.
pub fn all_shipped() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios");
    let files = std::fs::read_dir(folder).expect("there is a folder of scenarios");
    let paths = files.map(|entry| entry.expect("it can be listed").path());
    let mut names: Vec<PathBuf> =
        paths.filter(|path| path.extension().is_some_and(|end| end == "toml")).collect();
    names.sort();
    assert!(names.len() >= 7);
    names.iter().map(|path| path.to_str().expect("UTF-8").to_owned()).collect()
}

/// A door that keeps every limit that it has.
pub const CALM: &str = "schema = 1\ntitle = \"Calm <door> & \\\"quotes\\\"\"\n\
    [leaf]\nmass = \"60 kg\"\nstroke = \"0.9 m\"\n[closing]\nspeed = \"0.2 m/s\"\n\
    [limits]\nkinetic_energy_max = \"30 J\"\nclosing_speed_max = \"0.3 m/s\"\n";

/// The same door with a limit that it cannot keep.
pub fn hasty() -> String {
    CALM.replace("closing_speed_max = \"0.3 m/s\"", "closing_speed_max = \"0.1 m/s\"")
}
