//! The project's two commands and its chores. See README.md.

mod floors;
mod messages;
mod numbers;
mod photos;
mod recordings;
mod run;
mod scans;
mod web;

use std::process::ExitCode;

const USAGE: &str = "cargo xtask <verb>

  demo     runs the main job on demo/: documents into out/, and the page in a browser
  test     runs every check and test: format, lints, floors, bare numbers, all tests,
           the page's parts, and the page in a real browser
  web      builds the page that the binary carries (needs Node.js 20 or newer)
  floors   checks that imports only go down, between crates and inside the job crate
  numbers  checks that no public function of floors 1 to 3 takes or returns a bare number
  messages checks that every message that the code, the documents and the page say is there
           in every language, with its arguments, and that none is there unsaid
  bless    writes the expected outputs of snapshot tests anew; look at the difference
  photos   draws the demo's pictures anew
  recordings  synthesizes the example's recording of taps anew
  scans       makes the demo's scans of chips and floor anew
";

fn main() -> ExitCode {
    let verb = std::env::args().nth(1).unwrap_or_default();
    let outcome = match verb.as_str() {
        "demo" => run::demo(),
        "test" => run::test(),
        "floors" => floors::check(),
        "numbers" => numbers::check(),
        "messages" => messages::check(),
        "bless" => run::bless(),
        "web" => web::build().map(|()| "The page is built; cargo build takes it in.".to_owned()),
        "photos" => photos::draw(),
        "recordings" => recordings::make(),
        "scans" => scans::make(),
        _ => Err(USAGE.to_owned()),
    };
    match outcome {
        Ok(said) => {
            println!("{said}");
            ExitCode::SUCCESS
        }
        Err(said) => {
            eprintln!("{said}");
            ExitCode::FAILURE
        }
    }
}
