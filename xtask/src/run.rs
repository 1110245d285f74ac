//! Commands that run cargo.

use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use crate::{floors, messages, numbers, web};

/// The workspace's root.
pub(crate) fn root() -> PathBuf {
    let manifest = std::env::var_os("CARGO_MANIFEST_DIR")
        .map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from);
    manifest.parent().map_or_else(|| PathBuf::from("."), Path::to_path_buf)
}

/// Where cargo puts what it builds.
pub(crate) fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), PathBuf::from)
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

fn tooth(arguments: &[&str]) -> Command {
    let mut command = Command::new(target().join("debug/tooth"));
    command.args(arguments).current_dir(root()).env("TOOTH_DATA", root().join("out/record"));
    command
}

fn started(mut command: Command) -> Result<(), String> {
    let status =
        command.status().map_err(|error| format!("tooth could not be started: {error}"))?;
    if status.success() { Ok(()) } else { Err(format!("tooth ended with {status}")) }
}

/// The main job, the record, and the page. Without Node.js everything but the page.
pub(crate) fn demo() -> Result<String, String> {
    if web::is_possible() {
        web::build()?;
    } else {
        println!("Node.js is not there, so the page is not built; everything else is.");
    }
    println!("Building Tooth. The first time, the typesetter takes some minutes.");
    cargo(&["build", "--package", "tooth"], &[])?;
    started(tooth(&["run", "demo", "--out", "out"]))?;
    println!();
    started(tooth(&["import", "demo"]))?;
    println!(
        "\nThe documents are in out/: open condition-report.pdf first. The record is in out/record/."
    );
    if !std::io::stdout().is_terminal() {
        return Ok("The page: cargo run --package tooth -- --data out/record serve".to_owned());
    }
    let page = "http://127.0.0.1:8323/";
    let opener = if cfg!(target_os = "macos") { "open" } else { "xdg-open" };
    // Where there is no desktop, the address that the server prints is enough.
    let _ = Command::new("sh")
        .args(["-c", &format!("sleep 1; {opener} {page} >/dev/null 2>&1")])
        .spawn();
    started(tooth(&["serve"]))?;
    Ok(String::new())
}

/// All checks and tests, cheapest first.
pub(crate) fn test() -> Result<String, String> {
    let start = Instant::now();
    cargo(&["fmt", "--all", "--check"], &[])?;
    println!("\n> floors");
    println!("{}", floors::check()?);
    println!("\n> bare numbers");
    println!("{}", numbers::check()?);
    println!("\n> messages");
    println!("{}", messages::check()?);
    web::check()?;
    cargo(
        &["clippy", "--workspace", "--all-targets", "--locked", "--", "--deny", "warnings"],
        &[],
    )?;
    cargo(&["test", "--workspace", "--locked"], &[])?;
    cargo(&["build", "--package", "tooth", "--locked"], &[])?;
    web::browse()?;
    Ok(format!("\nAll checks and tests passed in {:.0} s.", start.elapsed().as_secs_f64()))
}

/// Snapshot tests write what they see instead of comparing it.
pub(crate) fn bless() -> Result<String, String> {
    cargo(&["test", "--workspace", "--locked"], &[("TOOTH_BLESS", "1")])?;
    Ok("Expected outputs are written anew: look at the difference before you commit it.".to_owned())
}
