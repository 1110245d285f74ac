//! The page and what it reads, served on this machine: thin handlers over [`App`].
//!
//! Loopback unless told otherwise; no request leaves the machine. What devices send comes in as
//! entries and files of the record, and nothing else can be written.

mod api;
mod guard;
mod reply;
mod web;

use std::net::SocketAddr;
use std::sync::Arc;

use tokio::net::TcpListener;

use crate::app::{App, Refusal};

pub(crate) use api::open_api;

/// Serves until somebody ends it; `ready` is told the address. At an address that other machines
/// can reach, nothing is written unless `anyone` may.
pub(crate) async fn serve(
    app: Arc<App>,
    address: SocketAddr,
    anyone: bool,
    ready: impl FnOnce(SocketAddr),
) -> Result<(), Refusal> {
    // A record that cannot be opened is said now and not on the first page.
    app.storage_made().await?;
    let failed = |error: std::io::Error| Refusal::Ours(format!("{address}: {error}").into());
    let listener = TcpListener::bind(address).await.map_err(failed)?;
    let bound = listener.local_addr().map_err(failed)?;
    let pages = api::router(app, bound.ip().is_loopback() || anyone).fallback(web::file);
    let guarded = guard::around(pages, bound);
    ready(bound);
    axum::serve(listener, guarded).with_graceful_shutdown(ended()).await.map_err(failed)
}

async fn ended() {
    // Without a signal to wait for, the server runs until it is killed.
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending::<()>().await;
    }
}
