//! Answers: JSON, files, and refusals in words (RFC 9457).

use std::convert::Infallible;

use axum::extract::{FromRequestParts, Request};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use axum::{Extension, Json};
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;
use tooth_measure::UnitSystem;
use tooth_measure::say::{Language, Said, said};
use tooth_words::Words;

use crate::app::Refusal;
use crate::output::FaultOut;

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub(crate) struct Problem {
    /// In a few words.
    pub(crate) title: Said,
    /// HTTP status.
    pub(crate) status: u16,
    /// What happened and what to do; empty where `errors` say it.
    pub(crate) detail: Box<Said>,
    /// Every fault of the job, with its place.
    pub(crate) errors: Vec<FaultOut>,
}

impl Problem {
    pub(super) fn refused(status: StatusCode, detail: Said) -> Self {
        Self {
            title: said!("page-not-answered"),
            status: status.as_u16(),
            detail: Box::new(detail),
            errors: Vec::new(),
        }
    }

    /// More was sent than is taken at a time.
    pub(super) fn too_large(detail: Said) -> Self {
        Self::refused(StatusCode::PAYLOAD_TOO_LARGE, detail)
    }

    pub(super) fn not_found(what: Said) -> Self {
        Self {
            title: said!("page-not-there"),
            status: StatusCode::NOT_FOUND.as_u16(),
            detail: Box::new(said!("page-there-is-no", what = what)),
            errors: Vec::new(),
        }
    }
}

impl From<Refusal> for Problem {
    fn from(refusal: Refusal) -> Self {
        match refusal {
            Refusal::Typed(_) => Self::not_found(said!("page-such-job-or-thing")),
            Refusal::Input(faults) => Self {
                title: said!("page-job-cannot-be-read"),
                status: StatusCode::UNPROCESSABLE_ENTITY.as_u16(),
                detail: Box::new(said!("page-record-says-what-no-slab-can-be")),
                errors: faults.iter().map(FaultOut::from).collect(),
            },
            Refusal::Ours(detail) => Self {
                title: said!("page-something-failed"),
                status: StatusCode::INTERNAL_SERVER_ERROR.as_u16(),
                detail: Box::new(detail),
                errors: Vec::new(),
            },
        }
    }
}

/// The problem rides on the answer until it is told in the reader's language.
impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let status = StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        (status, Extension(self)).into_response()
    }
}

/// The first language of a request that Tooth speaks; none where it names none.
pub(super) fn language_of(headers: &HeaderMap) -> Option<Language> {
    let asked = headers.get(header::ACCEPT_LANGUAGE)?.to_str().ok()?;
    asked.split(',').find_map(|tag| Language::from_tag(tag.split(';').next()?.trim()))
}

/// The language in which the browser asks.
pub(super) struct Asked(pub(super) Option<Language>);

impl<S: Sync> FromRequestParts<S> for Asked {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Infallible> {
        Ok(Self(language_of(&parts.headers)))
    }
}

/// Tells problems in the language in which they are asked for.
pub(super) async fn told(request: Request, next: Next) -> Response {
    let language = language_of(request.headers()).unwrap_or(Language::English);
    let mut response = next.run(request).await;
    response.headers_mut().append(header::VARY, HeaderValue::from_static("accept-language"));
    let Some(problem) = response.extensions_mut().remove::<Problem>() else { return response };
    let words = Words::new(language, UnitSystem::UsCustomary);
    let body = words.json(&problem).map_or_else(|_| String::new(), |told| told.to_string());
    let kind = HeaderValue::from_static("application/problem+json");
    response.headers_mut().insert(header::CONTENT_TYPE, kind);
    *response.body_mut() = body.into();
    response
}

/// An answer or a problem.
pub(super) type Reply = Result<Json<Value>, Problem>;

/// The bytes of a document or photograph.
pub(super) fn bytes(name: &str, bytes: Vec<u8>) -> Response {
    let kind = match name.rsplit_once('.').map(|(_, end)| end) {
        Some("pdf") => "application/pdf",
        Some("svg") => "image/svg+xml",
        Some("json") => "application/json",
        Some("jpg" | "jpeg") => "image/jpeg",
        Some("png") => "image/png",
        Some("wav") => "audio/wav",
        Some("flac") => "audio/flac",
        Some("mp3") => "audio/mpeg",
        Some("m4a") => "audio/mp4",
        Some("ogg") => "audio/ogg",
        _ => "application/octet-stream",
    };
    let mut response = bytes.into_response();
    response.headers_mut().insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    if let (false, Ok(named)) = (
        kind.starts_with("image/jp") || kind == "image/png",
        HeaderValue::from_str(&format!("attachment; filename=\"{name}\"")),
    ) {
        response.headers_mut().insert(header::CONTENT_DISPOSITION, named);
    }
    response
}
