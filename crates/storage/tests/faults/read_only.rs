//! A folder that can be read and not written.

use std::fs;
use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _, chown};
use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;

use crate::check::{all_files, contents};
use crate::writer::{Order, Said, acknowledged, program};

/// Nobody: permissions do not bind root, so root lets this user do it.
const NOBODY: u32 = 65534;
const AS_NOBODY: [&str; 4] = ["setpriv", "--reuid=65534", "--regid=65534", "--clear-groups"];

/// A data folder, and how to run a writer whom permissions bind.
struct Ground {
    _folder: TempDir,
    data: PathBuf,
    program: PathBuf,
    before: Vec<&'static str>,
}

fn mode(path: &Path, mode: u32) {
    fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
}

impl Ground {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let data = folder.path().join("data");
        fs::create_dir(&data).unwrap();
        let root = fs::metadata(&data).unwrap().uid() == 0;
        if !root {
            return Self { _folder: folder, data, program: program(), before: Vec::new() };
        }
        let there = Command::new("setpriv").arg("--version").output();
        assert!(
            there.is_ok_and(|done| done.status.success()),
            "run by root this test needs setpriv (package util-linux), because permissions do not bind root"
        );
        mode(folder.path(), 0o755);
        chown(&data, Some(NOBODY), Some(NOBODY)).unwrap();
        // The target folder may be out of this user's reach.
        let copy = folder.path().join("program");
        fs::copy(program(), &copy).unwrap();
        mode(&copy, 0o755);
        Self { _folder: folder, data, program: copy, before: AS_NOBODY.to_vec() }
    }

    fn run(&self, what: &'static str, count: u64) -> Vec<Said> {
        let order = Order { what, folder: self.data.clone(), tag: 5, job: 1, count };
        order.run(&self.before, &self.program)
    }

    fn folders(&self) -> Vec<PathBuf> {
        let mut folders = vec![self.data.clone(), self.data.join("files")];
        folders.extend(fs::read_dir(&folders[1]).unwrap().map(|item| item.unwrap().path()));
        folders
    }

    fn shut(&self, files_too: bool) {
        for path in all_files(&self.data).iter().filter(|_| files_too) {
            mode(path, fs::metadata(path).unwrap().mode() & 0o555);
        }
        self.folders().iter().for_each(|folder| mode(folder, 0o555));
    }

    fn unshut(&self) {
        self.folders().iter().for_each(|folder| mode(folder, 0o755));
        all_files(&self.data).iter().for_each(|path| mode(path, 0o600));
    }
}

fn rest_of<'a>(said: &'a [Said], word: &str) -> Vec<&'a str> {
    said.iter().filter(|(found, _)| found == word).map(|(_, rest)| &**rest).collect()
}

/// A folder that was closed properly reads well, and nothing in it changes.
fn reads_and_does_not_write(files_too: bool) {
    let ground = Ground::new();
    let sent = acknowledged(&ground.run("append", 8)).len();
    ground.shut(files_too);
    let before = contents(&ground.data);
    let said = ground.run("read", 0);
    assert_eq!(contents(&ground.data), before, "something was changed: {said:?}");
    assert_eq!(rest_of(&said, "error"), [""; 0]);
    assert_eq!(rest_of(&said, "whole"), [format!("true {sent}")]);
    assert_eq!(rest_of(&said, "audit"), ["Ok([])"]);
    let files = rest_of(&said, "files");
    let (good, all) = files[0].split_once(" of ").unwrap();
    assert!(good == all && good != "0", "{files:?}");
    for refused in [rest_of(&said, "append"), rest_of(&said, "put")].concat() {
        assert!(refused.starts_with("Err(ReadOnly("), "{said:?}");
    }
    println!("{said:?}");
    // Writable again, it is written again.
    ground.unshut();
    let order = Order { what: "append", folder: ground.data.clone(), tag: 6, job: 1, count: 2 };
    assert!(!acknowledged(&order.run(&ground.before, &ground.program)).is_empty());
}

#[test]
fn a_folder_and_files_that_cannot_be_written_are_read_and_stay_as_they_are() {
    reads_and_does_not_write(true);
}

#[test]
fn a_folder_that_cannot_be_written_with_files_that_can_is_read_and_stays_as_it_is() {
    reads_and_does_not_write(false);
}

#[test]
fn a_folder_that_cannot_be_written_and_was_not_closed_says_so_and_stays_as_it_is() {
    let ground = Ground::new();
    let order =
        Order { what: "append", folder: ground.data.clone(), tag: 5, job: 1, count: u64::MAX };
    let mut child = order.command(&ground.before, &ground.program).spawn().unwrap();
    let log = ground.data.join("tooth.sqlite-wal");
    // Some batches are in the log and nowhere else.
    while fs::metadata(&log).map_or(0, |data| data.len()) < 100_000 {
        std::thread::yield_now();
    }
    child.kill().unwrap();
    child.wait().unwrap();
    ground.shut(true);
    let before = contents(&ground.data);
    let said = ground.run("read", 0);
    assert_eq!(contents(&ground.data), before);
    let errors = rest_of(&said, "error");
    let read_well = rest_of(&said, "whole").first().is_some_and(|whole| whole.starts_with("true"));
    let said_why = errors.first().is_some_and(|error| error.contains("ReadOnly("));
    assert!(said_why || read_well, "{said:?}");
    println!("{said:?}");
    ground.unshut();
}
