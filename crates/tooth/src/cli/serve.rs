//! `tooth serve`.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::sync::Arc;

use clap::Args;
use tooth_measure::say::said;

use super::{Answer, Outcome, Printing, print_json, print_warning};
use crate::app::App;
use crate::server;

/// Arguments of `serve`.
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The port; 0 for any that is free.
    #[arg(long, default_value_t = 8323)]
    port: u16,
    /// The address to listen at. Anything but this machine's own lets everybody in the
    /// network read every job: there is no password yet.
    #[arg(long, value_name = "IP", default_value_t = IpAddr::V4(Ipv4Addr::LOCALHOST))]
    address: IpAddr,
    /// Let everybody who can reach the address write too: add entries and files to every job, in
    /// any name. There is no password, and nothing that is added can be taken out of the record
    /// again. Only for a network whose every user you trust; without it, only this machine writes.
    #[arg(long)]
    anyone_may_write: bool,
    #[command(flatten)]
    pub(super) printing: Printing,
}

pub(super) async fn run(app: Arc<App>, arguments: &Arguments) -> Outcome {
    if arguments.printing.schema {
        print_json(&server::open_api(), app.words())?;
        return Ok(Answer::Done);
    }
    let address = SocketAddr::new(arguments.address, arguments.port);
    let (json, open) = (arguments.printing.json, !arguments.address.is_loopback());
    let (words, anyone) = (app.words(), arguments.anyone_may_write);
    server::serve(app, address, anyone, |bound| {
        let page = format!("http://{bound}/");
        if json {
            anstream::println!("{}", serde_json::json!({ "page": page }));
        } else {
            anstream::println!("{}", words.say(&said!("the-page-is-at", page = page)));
        }
        if open {
            let address = bound.to_string();
            print_warning(
                words,
                if anyone {
                    said!("everybody-who-can-reach-it-can-read-and-write", address = address)
                } else {
                    said!("everybody-who-can-reach-it-can-read", address = address)
                },
            );
        }
    })
    .await?;
    Ok(Answer::Done)
}
