//! What the tests of the built binary share: folders of their own and the binary.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::atomic::{AtomicU32, Ordering};

use serde_json::Value;

/// A folder of one test, gone when the test ends.
#[derive(Debug)]
pub(crate) struct Temporary(PathBuf);

impl Temporary {
    pub(crate) fn new() -> Self {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let path = std::env::temp_dir().join(format!(
            "tooth-test-{}-{}",
            std::process::id(),
            COUNT.fetch_add(1, Ordering::Relaxed)
        ));
        fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    pub(crate) fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Temporary {
    fn drop(&mut self) {
        // What cannot be removed stays in the system's own folder for such things.
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// A path from the workspace's root.
pub(crate) fn workspace(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(path)
}

/// Copies a folder with all that is in it.
pub(crate) fn copy(from: &Path, to: &Path) {
    let mut due = vec![(from.to_path_buf(), to.to_path_buf())];
    while let Some((from, to)) = due.pop() {
        fs::create_dir_all(&to).unwrap();
        for entry in fs::read_dir(from).unwrap() {
            let entry = entry.unwrap();
            let target = to.join(entry.file_name());
            if entry.file_type().unwrap().is_dir() {
                due.push((entry.path(), target));
            } else {
                fs::copy(entry.path(), &target).unwrap();
            }
        }
    }
}

/// The built binary with its arguments, ready to run.
pub(crate) fn tooth<A: AsRef<OsStr>>(arguments: &[A]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tooth"));
    command.args(arguments);
    command
}

/// The one JSON document on standard output.
pub(crate) fn json(output: &Output) -> Value {
    let parsed = serde_json::from_slice(&output.stdout);
    assert!(
        parsed.is_ok(),
        "standard output is not one JSON document:\n{}\n{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    parsed.unwrap()
}
