//! The page's own files, built from `web/` and carried in the binary.

use axum::http::{HeaderValue, Method, StatusCode, Uri, header};
use axum::response::{Html, IntoResponse, Response};
use rust_embed::RustEmbed;
use tooth_measure::say::said;

use super::guard::only_reading;
use super::reply::Problem;

#[derive(RustEmbed)]
#[folder = "../../web/dist"]
#[allow_missing = true]
struct Built;

/// What is served where the page was not built.
const HOW: &str = include_str!("not-built.html");

/// A file of the page; for an address of the page itself, the page.
pub(super) async fn file(method: Method, uri: Uri) -> Response {
    if !matches!(method, Method::GET | Method::HEAD) {
        return only_reading().await.into_response();
    }
    let path = uri.path().trim_start_matches('/');
    if path == "api" || path.starts_with("api/") {
        return Problem::not_found(said!("page-such-answer")).into_response();
    }
    if let Some(file) = Built::get(path).filter(|_| !path.is_empty()) {
        // Built files carry the hash of their bytes in their name.
        let keep = if path.starts_with("assets/") {
            "public, max-age=31536000, immutable"
        } else {
            "no-cache"
        };
        let kind = HeaderValue::from_str(file.metadata.mimetype())
            .unwrap_or(HeaderValue::from_static("application/octet-stream"));
        let headers =
            [(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, HeaderValue::from_static(keep))];
        return (headers, file.data).into_response();
    }
    // Names of things may hold a dot; files of the page stand at its top or in assets.
    if path.starts_with("assets/") || !path.contains('/') && path.contains('.') {
        return Problem::not_found(said!("page-such-file")).into_response();
    }
    match Built::get("index.html") {
        Some(page) => {
            let headers = [
                (header::CONTENT_TYPE, HeaderValue::from_static("text/html; charset=utf-8")),
                (header::CACHE_CONTROL, HeaderValue::from_static("no-cache")),
            ];
            (headers, page.data).into_response()
        }
        None => (StatusCode::OK, Html(HOW)).into_response(),
    }
}
