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
    let words = app.words();
    server::serve(app, address, |bound| {
        let page = format!("http://{bound}/");
        if json {
            anstream::println!("{}", serde_json::json!({ "page": page }));
        } else {
            anstream::println!("{}", words.say(&said!("the-page-is-at", page = page)));
        }
        if open {
            let open = said!("everybody-who-can-reach-it-can-read", address = bound.to_string());
            print_warning(words, open);
        }
    })
    .await?;
    Ok(Answer::Done)
}
