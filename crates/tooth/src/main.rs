//! `tooth`: from the survey of a concrete slab to recommendation, plan, price and
//! documents.

mod app;
mod cli;
mod output;
mod output_capture;
mod output_colour;
mod output_texture;
mod server;
mod terminal;

use std::process::ExitCode;

fn main() -> ExitCode {
    cli::main()
}
