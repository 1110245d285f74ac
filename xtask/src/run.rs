//! Commands that run cargo.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use crate::{floors, numbers};

/// The workspace's root.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .map_or_else(|| PathBuf::from("."), Path::to_path_buf)
}

fn cargo(arguments: &[&str], environment: &[(&str, &str)]) -> Result<(), String> {
    println!("\n> cargo {}", arguments.join(" "));
    let status = Command::new(env!("CARGO"))
        .args(arguments)
        .envs(environment.iter().copied())
        .current_dir(root())
        .status()
        .map_err(|error| format!("cargo could not be started: {error}"))?;
    if status.success() { Ok(()) } else { Err(format!("cargo {} failed", arguments.join(" "))) }
}

/// Everything a fresh machine needs is Rust itself: nothing else is installed.
pub(crate) fn demo() -> Result<String, String> {
    println!("Building Tooth. The first time, the typesetter takes some minutes.");
    cargo(&["build", "--package", "tooth"], &[])?;
    let out = root().join("out");
    let status = Command::new(root().join("target/debug/tooth"))
        .args(["run", "demo", "--out"])
        .arg(&out)
        .current_dir(root())
        .status()
        .map_err(|error| format!("tooth could not be started: {error}"))?;
    if !status.success() {
        return Err(format!("tooth ended with {status}"));
    }
    Ok(format!("\nThe documents are in {}: open condition-report.pdf first.", out.display()))
}

/// All checks and tests, cheapest first.
pub(crate) fn test() -> Result<String, String> {
    let start = Instant::now();
    cargo(&["fmt", "--all", "--check"], &[])?;
    println!("\n> floors");
    println!("{}", floors::check()?);
    println!("\n> bare numbers");
    println!("{}", numbers::check()?);
    cargo(
        &["clippy", "--workspace", "--all-targets", "--locked", "--", "--deny", "warnings"],
        &[],
    )?;
    cargo(&["test", "--workspace", "--locked"], &[])?;
    Ok(format!("\nAll checks and tests passed in {:.0} s.", start.elapsed().as_secs_f64()))
}

/// Snapshot tests write what they see instead of comparing it.
pub(crate) fn bless() -> Result<String, String> {
    cargo(&["test", "--workspace", "--locked"], &[("TOOTH_BLESS", "1")])?;
    Ok("Expected outputs are written anew: look at the difference before you commit it.".to_owned())
}
