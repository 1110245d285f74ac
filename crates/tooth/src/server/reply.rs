//! Answers: JSON, files, and refusals in words (RFC 9457).

use axum::Json;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use schemars::JsonSchema;
use serde::Serialize;

use crate::app::Refusal;
use crate::output::FaultOut;

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct Problem {
    /// In a few words.
    pub(crate) title: String,
    /// HTTP status.
    pub(crate) status: u16,
    /// What happened and what to do; empty where `errors` say it.
    pub(crate) detail: String,
    /// Every fault of the job, with its place.
    pub(crate) errors: Vec<FaultOut>,
}

impl Problem {
    pub(super) fn not_found(what: &str) -> Self {
        Self {
            title: "Not there".to_owned(),
            status: StatusCode::NOT_FOUND.as_u16(),
            detail: format!("There is no {what} here."),
            errors: Vec::new(),
        }
    }
}

impl From<Refusal> for Problem {
    fn from(refusal: Refusal) -> Self {
        match refusal {
            Refusal::Typed(_) => Self::not_found("such job or thing"),
            Refusal::Input(faults) => Self {
                title: "This job cannot be read".to_owned(),
                status: StatusCode::UNPROCESSABLE_ENTITY.as_u16(),
                detail:
                    "Its record says what no slab can be. What was entered must be corrected first:"
                        .to_owned(),
                errors: faults.iter().map(FaultOut::from).collect(),
            },
            Refusal::Ours(detail) => Self {
                title: "Something failed here".to_owned(),
                status: StatusCode::INTERNAL_SERVER_ERROR.as_u16(),
                detail,
                errors: Vec::new(),
            },
        }
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let status = StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
        let mut response = (status, Json(self)).into_response();
        let kind = HeaderValue::from_static("application/problem+json");
        response.headers_mut().insert(header::CONTENT_TYPE, kind);
        response
    }
}

/// An answer or a problem.
pub(super) type Reply<T> = Result<Json<T>, Problem>;

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
