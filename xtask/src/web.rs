//! Building and testing the page. Node.js builds it; nothing of it runs when the program
//! is used.

use std::path::PathBuf;
use std::process::Command;

use crate::run::{root, target};

fn folder() -> PathBuf {
    root().join("web")
}

fn npm(arguments: &[&str], environment: &[(&str, PathBuf)]) -> Result<(), String> {
    println!("\n> npm {} (in web/)", arguments.join(" "));
    let npm = if cfg!(windows) { "npm.cmd" } else { "npm" };
    let status = Command::new(npm)
        .args(arguments)
        .envs(environment.iter().map(|(name, value)| (*name, value)))
        .current_dir(folder())
        .status()
        .map_err(|error| {
            format!("npm could not be started ({error}): install Node.js 20 or newer")
        })?;
    if status.success() { Ok(()) } else { Err(format!("npm {} failed", arguments.join(" "))) }
}

/// Whether npm is there at all.
pub(crate) fn is_possible() -> bool {
    let npm = if cfg!(windows) { "npm.cmd" } else { "npm" };
    Command::new(npm).arg("--version").output().is_ok_and(|output| output.status.success())
}

/// Packages as the lock file names them, and types from the description of the addresses.
fn prepare() -> Result<(), String> {
    npm(&["ci", "--ignore-scripts", "--no-audit", "--no-fund"], &[])?;
    npm(&["run", "--silent", "types"], &[])
}

/// Builds the page into `web/dist`.
pub(crate) fn build() -> Result<(), String> {
    prepare()?;
    npm(&["run", "build"], &[])
}

/// Types, parts, and the build.
pub(crate) fn check() -> Result<(), String> {
    prepare()?;
    npm(&["run", "check"], &[])?;
    npm(&["test"], &[])?;
    npm(&["run", "build"], &[])
}

/// The page in a real browser, served by the built binary.
pub(crate) fn browse() -> Result<(), String> {
    npm(&["run", "browser"], &[("TOOTH_BIN", target().join("debug/tooth"))])
}
