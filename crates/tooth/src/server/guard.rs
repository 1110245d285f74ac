//! What stands around every answer: who may ask, how much, how long, and what a browser
//! may do with it.

use std::net::SocketAddr;
use std::time::Duration;
use tooth_measure::say::{Said, said};

use axum::Router;
use axum::extract::{DefaultBodyLimit, Request, State};
use axum::http::{HeaderName, HeaderValue, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::{IntoResponse, Response};
use tower_http::compression::CompressionLayer;
use tower_http::set_header::SetResponseHeaderLayer;
use tower_http::timeout::TimeoutLayer;

use super::reply::{Problem, told};

/// Nothing is sent to this server yet but addresses.
const BODY: usize = 16 * 1024;
/// Typesetting a large job takes its time.
const PATIENCE: Duration = Duration::from_secs(120);

/// Scripts, styles, pictures and data from this server only; nothing inline, no frames.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; media-src blob:; connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

pub(super) fn around(pages: Router, bound: SocketAddr) -> Router {
    let always = |name: HeaderName, value: &'static str| {
        SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value))
    };
    pages
        .layer(CompressionLayer::new())
        .layer(TimeoutLayer::with_status_code(StatusCode::SERVICE_UNAVAILABLE, PATIENCE))
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
            "camera=(), microphone=(), geolocation=()",
        ))
}

/// On loopback only names of this machine are answered: a page elsewhere that points its
/// own name here gets nothing. Only reading is answered at all.
async fn asked_for_us(State(bound): State<SocketAddr>, request: Request, next: Next) -> Response {
    if !matches!(*request.method(), axum::http::Method::GET | axum::http::Method::HEAD) {
        return refused(StatusCode::METHOD_NOT_ALLOWED, said!("page-only-reading"));
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

fn refused(status: StatusCode, detail: Said) -> Response {
    Problem {
        title: said!("page-not-answered"),
        status: status.as_u16(),
        detail: Box::new(detail),
        errors: Vec::new(),
    }
    .into_response()
}

#[cfg(test)]
mod tests {
    use super::is_ours;

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
