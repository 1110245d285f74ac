//! `tooth serve`.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::sync::Arc;

use clap::Args;

use super::{Answer, Outcome, Printing, print_json};
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
    server::serve(app, address, |bound| {
        let page = format!("http://{bound}/");
        if json {
            anstream::println!("{}", serde_json::json!({ "page": page }));
        } else {
            anstream::println!("The page is at {page} (end with Ctrl-C).");
        }
        if open {
            anstream::eprintln!(
                "warning: everybody who can reach {bound} can read every job of this record."
            );
        }
    })
    .await?;
    Ok(Answer::Done)
}
