//! What stands around every answer: who may ask, how much, how long, and what a browser
//! may do with it.

use std::net::SocketAddr;
use std::time::Duration;
use tooth_measure::say::{Said, said};

use axum::Router;
use axum::extract::{DefaultBodyLimit, Request, State};
use axum::http::{HeaderMap, HeaderName, HeaderValue, Method, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::{IntoResponse, Response};
use tower_http::compression::CompressionLayer;
use tower_http::set_header::SetResponseHeaderLayer;

use super::reply::{Problem, told};

/// An address that takes in more says so itself.
const BODY: usize = 16 * 1024;
/// Typesetting a large job takes its time.
const PATIENCE: Duration = Duration::from_secs(120);
/// So does a photograph over the net of a building site.
const PATIENCE_WITH_FILES: Duration = Duration::from_secs(15 * 60);

/// Scripts, styles, pictures and data from this server only; nothing inline, no frames.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; media-src 'self' blob:; connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

pub(super) fn around(pages: Router, bound: SocketAddr) -> Router {
    let always = |name: HeaderName, value: &'static str| {
        SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value))
    };
    pages
        .layer(CompressionLayer::new())
        .layer(middleware::from_fn(in_time))
        .layer(DefaultBodyLimit::max(BODY))
        .layer(middleware::from_fn_with_state(bound, asked_for_us))
        .layer(middleware::from_fn(told))
        .layer(always(header::CONTENT_SECURITY_POLICY, POLICY))
        .layer(always(header::X_CONTENT_TYPE_OPTIONS, "nosniff"))
        .layer(always(header::REFERRER_POLICY, "no-referrer"))
        .layer(always(HeaderName::from_static("cross-origin-opener-policy"), "same-origin"))
        .layer(always(HeaderName::from_static("cross-origin-resource-policy"), "same-origin"))
        .layer(always(
            HeaderName::from_static("permissions-policy"),
            "camera=(self), microphone=(self), geolocation=()",
        ))
}

async fn in_time(request: Request, next: Next) -> Response {
    let patience = if request.method() == Method::PUT { PATIENCE_WITH_FILES } else { PATIENCE };
    match tokio::time::timeout(patience, next.run(request)).await {
        Ok(response) => response,
        Err(_) => refused(StatusCode::SERVICE_UNAVAILABLE, said!("page-took-too-long")),
    }
}

/// On loopback only names of this machine are answered: a page elsewhere that points its
/// own name here gets nothing. What may be written is said by its address.
async fn asked_for_us(State(bound): State<SocketAddr>, request: Request, next: Next) -> Response {
    if !matches!(*request.method(), Method::GET | Method::HEAD | Method::POST | Method::PUT) {
        return only_reading().await.into_response();
    }
    let host = request.headers().get(header::HOST).and_then(|host| host.to_str().ok());
    let host = host.map(str::to_lowercase);
    if bound.ip().is_loopback() && !host.is_some_and(|host| is_ours(&host, bound)) {
        return refused(StatusCode::MISDIRECTED_REQUEST, said!("page-this-machine-only"));
    }
    let of_a_job = request.uri().path().starts_with("/api");
    let mut response = next.run(request).await;
    if of_a_job {
        // What was erased or belongs to a client must not stay in a browser's files.
        response.headers_mut().insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
    response
}

fn is_ours(host: &str, bound: SocketAddr) -> bool {
    let port = bound.port();
    ["localhost", "127.0.0.1", "[::1]"]
        .iter()
        .any(|name| host == format!("{name}:{port}") || port == 80 && host == *name)
        || host == bound.to_string()
}

/// The answer to a method that an address does not know.
pub(super) async fn only_reading() -> Problem {
    Problem::refused(StatusCode::METHOD_NOT_ALLOWED, said!("page-only-reading"))
}

/// What stands before an address that takes something in.
#[derive(Debug, Clone, Copy)]
pub(super) struct Gate {
    /// Whether anything may be written at all.
    pub(super) open: bool,
    /// The one kind of content: no kind that a plain form of another page could send.
    pub(super) kind: &'static str,
}

/// Lets in what this very page sends, and what is sent by no browser at all.
pub(super) async fn through(State(gate): State<Gate>, request: Request, next: Next) -> Response {
    let headers = request.headers();
    if !gate.open {
        return refused(StatusCode::FORBIDDEN, said!("page-nothing-is-written-from-elsewhere"));
    }
    if !is_same_origin(headers) {
        return refused(StatusCode::FORBIDDEN, said!("page-only-from-the-page-itself"));
    }
    let kind = text(headers, header::CONTENT_TYPE).unwrap_or_default();
    let kind = kind.split(';').next().unwrap_or_default().trim();
    if !kind.eq_ignore_ascii_case(gate.kind) {
        let detail = said!("page-sent-as", kind = gate.kind);
        return refused(StatusCode::UNSUPPORTED_MEDIA_TYPE, detail);
    }
    next.run(request).await
}

fn text(headers: &HeaderMap, name: HeaderName) -> Option<&str> {
    headers.get(name).map(|value| value.to_str().unwrap_or_default())
}

/// Whether nothing that a browser says of the sender speaks against this page.
fn is_same_origin(headers: &HeaderMap) -> bool {
    let host = text(headers, header::HOST).unwrap_or_default();
    let own = |origin: &str| {
        let name = origin.strip_prefix("http://").or_else(|| origin.strip_prefix("https://"));
        name.is_some_and(|name| !name.is_empty() && name.eq_ignore_ascii_case(host))
    };
    let site = text(headers, HeaderName::from_static("sec-fetch-site"));
    text(headers, header::ORIGIN).is_none_or(own) && site.is_none_or(|site| site == "same-origin")
}

fn refused(status: StatusCode, detail: Said) -> Response {
    Problem::refused(status, detail).into_response()
}

#[cfg(test)]
mod tests {
    use axum::http::{HeaderMap, HeaderName, HeaderValue};

    use super::{is_ours, is_same_origin};

    #[test]
    fn only_the_page_itself_is_of_the_same_origin() {
        let of = |sent: &[(&'static str, &'static str)]| {
            let named = |(name, value): &(&'static str, &'static str)| {
                (HeaderName::from_static(name), HeaderValue::from_static(value))
            };
            let host = [("host", "localhost:8323")];
            is_same_origin(&HeaderMap::from_iter(host.iter().chain(sent).map(named)))
        };
        assert!(of(&[]));
        assert!(of(&[("origin", "http://localhost:8323"), ("sec-fetch-site", "same-origin")]));
        for origin in ["null", "", "http://", "http://localhost", "http://elsewhere.example:8323"] {
            assert!(!of(&[("origin", origin)]), "{origin}");
        }
        for site in ["cross-site", "same-site", "none", ""] {
            assert!(!of(&[("sec-fetch-site", site)]), "{site}");
        }
    }

    #[test]
    fn only_names_of_this_machine_are_ours() {
        let bound = "127.0.0.1:8323".parse().unwrap_or_else(|_| ([127, 0, 0, 1], 8323).into());
        for host in ["localhost:8323", "127.0.0.1:8323", "[::1]:8323"] {
            assert!(is_ours(host, bound), "{host}");
        }
        for host in
            ["localhost", "127.0.0.1:80", "elsewhere.example:8323", "localhost.example:8323", ""]
        {
            assert!(!is_ours(host, bound), "{host}");
        }
    }
}
