//! The addresses that the page reads and writes, each with its handler and its description: one
//! list gives the router and the OpenAPI document (version 3.1).

use std::future::{Future, poll_fn};
use std::pin::Pin;
use std::sync::Arc;
use std::time::Duration;
use tooth_measure::UnitSystem;
use tooth_measure::say::{Language, Said, said};

use axum::body::{Body, Bytes, HttpBody as _};
use axum::extract::rejection::{BytesRejection, PathRejection, QueryRejection};
use axum::extract::{DefaultBodyLimit, Path, Query, Request, State};
use axum::handler::Handler;
use axum::http::StatusCode;
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post, put};
use axum::{Json, Router};
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, SchemaGenerator};
use serde::Deserialize;
use serde_json::{Map, Value, json};
use tooth_job::survey::ZoneId;
use tooth_record::{Entry, FileHash, FileName, JobId, Thing};

use tooth_words::Words;

use super::guard::{Gate, only_reading, through};
use super::reply::{Asked, Problem, Reply, bytes};
use crate::app::{
    App, AreaPage, FILE_BYTES, JobPage, PlanPage, Refusal, ScanPage, SoundingPage, Worked,
};
use crate::output::{FaultOut, FieldsPage, History, Jobs};
use crate::output_capture::{Pushed, Stored, Things};

/// The kind of content of entries, one a line.
const LINES: &str = "application/x-ndjson";
/// The kind of content of files.
const BYTES: &str = "application/octet-stream";
/// Most bytes of entries that are sent at a time.
const ENTRIES_BYTES: usize = 8 * 1024 * 1024;
/// Most entries that are sent at a time.
const ENTRIES: usize = 1000;
/// How long a sender may say nothing in the middle of a file.
const SILENCE: Duration = Duration::from_secs(60);

type Shared = State<Arc<App>>;

/// The router and its description, built together.
struct Addresses {
    router: Router<Arc<App>>,
    paths: Map<String, Value>,
    schemas: SchemaGenerator,
    /// Whether anything may be written.
    open: bool,
}

impl Addresses {
    fn new(open: bool) -> Self {
        let settings = SchemaSettings::draft2020_12()
            .for_serialize()
            .with(|settings| settings.definitions_path = "/components/schemas".into());
        Self { router: Router::new(), paths: Map::new(), schemas: settings.into_generator(), open }
    }

    /// An address that answers with JSON.
    fn json<T: JsonSchema, H, Given>(mut self, path: &str, id: &str, says: &str, handler: H) -> Self
    where
        H: Handler<Given, Arc<App>>,
        Given: 'static,
    {
        let answer = self.answer_of::<T>();
        self.describe("get", path, id, says, &answer, None);
        self.router = self.router.route(path, get(handler));
        self
    }

    /// An address that answers with a file.
    fn file<H, Given>(mut self, path: &str, id: &str, says: &str, handler: H) -> Self
    where
        H: Handler<Given, Arc<App>>,
        Given: 'static,
    {
        let answer = json!({ "application/octet-stream": {} });
        self.describe("get", path, id, says, &answer, None);
        self.router = self.router.route(path, get(handler));
        self
    }

    /// An address to which entries are sent, and that answers with JSON.
    fn entries<T: JsonSchema, H, Given>(
        mut self,
        path: &str,
        id: &str,
        says: &str,
        handler: H,
    ) -> Self
    where
        H: Handler<Given, Arc<App>>,
        Given: 'static,
    {
        let sent = json!({
            "required": true,
            "description": "One entry a line.",
            "content": { LINES: { "schema": self.schemas.subschema_for::<Entry>() } }
        });
        let answer = self.answer_of::<T>();
        self.describe("post", path, id, says, &answer, Some(sent));
        let guarded = post(handler)
            .route_layer(DefaultBodyLimit::max(ENTRIES_BYTES))
            .route_layer(from_fn_with_state(self.gate(LINES), through));
        self.router = self.router.route(path, guarded);
        self
    }

    /// An address to which a file is sent, and that answers with JSON. Its handler counts bytes.
    fn put<T: JsonSchema, H, Given>(mut self, path: &str, id: &str, says: &str, handler: H) -> Self
    where
        H: Handler<Given, Arc<App>>,
        Given: 'static,
    {
        let content = json!({ BYTES: {} });
        let sent = json!({ "required": true, "description": "Its bytes.", "content": content });
        let answer = self.answer_of::<T>();
        self.describe("put", path, id, says, &answer, Some(sent));
        let guarded = put(handler).route_layer(from_fn_with_state(self.gate(BYTES), through));
        self.router = self.router.route(path, guarded);
        self
    }

    fn gate(&self, kind: &'static str) -> Gate {
        Gate { open: self.open, kind }
    }

    fn answer_of<T: JsonSchema>(&mut self) -> Value {
        json!({ "application/json": { "schema": self.schemas.subschema_for::<T>() } })
    }

    fn describe(
        &mut self,
        method: &str,
        path: &str,
        id: &str,
        says: &str,
        answer: &Value,
        sent: Option<Value>,
    ) {
        let problem = self.schemas.subschema_for::<Problem>();
        let mut parameters: Vec<Value> = path
            .split('/')
            .filter_map(|part| part.strip_prefix('{')?.strip_suffix('}'))
            .map(|name| json!({ "name": name, "in": "path", "required": true, "schema": { "type": "string" } }))
            .collect();
        if id == "history" {
            parameters.push(json!({
                "name": "thing", "in": "query", "required": false, "schema": { "type": "string" },
                "description": "The thing, like reading/R001; without it, every entry."
            }));
        }
        let mut operation = json!({
            "operationId": id,
            "summary": says,
            "parameters": parameters,
            "responses": {
                "200": { "description": says, "content": answer },
                "default": { "description": "Why there is no answer.", "content": { "application/problem+json": { "schema": problem } } }
            }
        });
        if let Some(sent) = sent {
            operation["requestBody"] = sent;
        }
        let known = self.paths.entry(path).or_insert_with(|| json!({}));
        known[method] = operation;
    }
}

fn addresses(open: bool) -> Addresses {
    Addresses::new(open)
        .json::<Jobs, _, _>("/api/jobs", "jobs", "The jobs of the record.", jobs)
        .json::<JobPage, _, _>("/api/jobs/{job}", "job", "A job at a glance.", job)
        .json::<AreaPage, _, _>(
            "/api/jobs/{job}/areas/{zone}",
            "area",
            "An area: recommendation with its reasons, steps, quantities.",
            area,
        )
        .json::<PlanPage, _, _>("/api/jobs/{job}/plan", "plan", "The slab's plan.", plan)
        .json::<History, _, _>(
            "/api/jobs/{job}/history",
            "history",
            "Who said what, when, and what counts.",
            history,
        )
        .file(
            "/api/jobs/{job}/documents/{file}",
            "document",
            "A document as it would be made now.",
            document,
        )
        .file(
            "/api/jobs/{job}/issues/{number}/{file}",
            "issued_document",
            "A document as it was issued.",
            issued_document,
        )
        .json::<SoundingPage, _, _>(
            "/api/jobs/{job}/soundings/{name}",
            "sounding",
            "A recording of taps: how each sounds, what is hollow.",
            sounding,
        )
        .file(
            "/api/jobs/{job}/soundings/{name}/recording",
            "recording",
            "The recording itself, to be listened to.",
            recording,
        )
        .file(
            "/api/jobs/{job}/soundings/{name}/spectra",
            "spectra",
            "Spectra of a typical sound and a typical hollow tap, as a picture.",
            spectra,
        )
        .json::<ScanPage, _, _>(
            "/api/jobs/{job}/scans/{name}",
            "scan",
            "A scan of the surface: its heights, figures and chances of each profile level.",
            scan,
        )
        .file("/api/jobs/{job}/photos/{file}", "photo", "A photograph that the plan names.", photo)
        .json::<Things, _, _>(
            "/api/jobs/{job}/things",
            "things",
            "Everything that a job's record holds now, and what is wrong with it; also of a job that cannot be assessed yet.",
            things,
        )
        .json::<FieldsPage, _, _>(
            "/api/fields",
            "fields",
            "What may be stated of a job, field by field: the forms of the page.",
            fields,
        )
        .entries::<Pushed, _, _>(
            "/api/jobs/{job}/entries",
            "push",
            "Adds entries to a job, the first of which make it; answered when they are safe on the disk.",
            push,
        )
        .put::<Stored, _, _>(
            "/api/jobs/{job}/files/{hash}",
            "put_file",
            "Takes in a file before the entry that attaches it; answered when it is safe on the disk.",
            put_file,
        )
        .file("/api/jobs/{job}/files/{hash}", "attached_file", "A file that counts in a job.", attached_file)
}

/// Every address, without the page's own files.
pub(super) fn router(app: Arc<App>, open: bool) -> Router {
    let router = addresses(open).router.route("/api/openapi.json", get(description));
    router.method_not_allowed_fallback(only_reading).with_state(app)
}

async fn description() -> Json<Value> {
    Json(open_api())
}

/// The description of every address.
pub(crate) fn open_api() -> Value {
    let mut addresses = addresses(true);
    let schemas = addresses.schemas.take_definitions(true);
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Tooth",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "What the page reads and sends. JSON is SI where it holds numbers; texts are for people, in both systems of units.",
            "license": { "name": "MIT OR Apache-2.0", "identifier": "MIT OR Apache-2.0" }
        },
        "paths": addresses.paths,
        "components": { "schemas": schemas },
    })
}

impl From<PathRejection> for Problem {
    fn from(_: PathRejection) -> Self {
        Self::not_found(said!("page-no-such-name"))
    }
}

impl From<QueryRejection> for Problem {
    fn from(_: QueryRejection) -> Self {
        Self::not_found(said!("page-no-thing-of-such-a-name"))
    }
}

type At<T> = Result<Path<T>, PathRejection>;

fn json<T: serde::Serialize>(result: &T) -> Reply {
    let value = serde_json::to_value(result);
    value.map(Json).map_err(|error| Refusal::Ours(error.to_string().into()).into())
}

/// A page of a job in the reader's language; not there where the job has none such.
async fn page<T: serde::Serialize + 'static>(
    app: Arc<App>,
    job: JobId,
    Asked(language): Asked,
    missing: Said,
    of: impl FnOnce(&Worked, Words) -> Option<T> + Send + 'static,
) -> Reply {
    let page = app.page(job, language, of).await?;
    page.map(Json).ok_or_else(|| Problem::not_found(missing))
}

async fn jobs(State(app): Shared) -> Reply {
    json(&Jobs { jobs: app.jobs().await? })
}

async fn job(State(app): Shared, language: Asked, asked: At<JobId>) -> Reply {
    let Path(job) = asked?;
    page(app, job, language, said!("page-such-job-or-thing"), Worked::job_page).await
}

async fn area(State(app): Shared, language: Asked, asked: At<(JobId, String)>) -> Reply {
    let Path((job, zone)) = asked?;
    let missing = said!("page-such-area");
    let zone = ZoneId::new(&zone).ok_or_else(|| Problem::not_found(missing.clone()))?;
    page(app, job, language, missing, move |worked, words| worked.area_page(&zone, words)).await
}

async fn plan(State(app): Shared, language: Asked, asked: At<JobId>) -> Reply {
    let Path(job) = asked?;
    let missing = said!("page-such-job-or-thing");
    page(app, job, language, missing, |worked, _| Some(worked.plan_page())).await
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HistoryOf {
    thing: Option<Thing>,
}

async fn history(
    State(app): Shared,
    asked: At<JobId>,
    query: Result<Query<HistoryOf>, QueryRejection>,
) -> Reply {
    let (Path(job), Query(of)) = (asked?, query?);
    json(&app.history_of(job, of.thing.as_ref()).await?)
}

async fn sent<F>(name: &str, found: F) -> Result<Response, Problem>
where
    F: Future<Output = Result<Option<Vec<u8>>, Refusal>>,
{
    let found = found.await?.ok_or_else(|| Problem::not_found(said!("page-such-file")))?;
    Ok(bytes(name, found).into_response())
}

async fn document(
    State(app): Shared,
    Asked(language): Asked,
    asked: At<(JobId, FileName)>,
) -> Result<Response, Problem> {
    let Path((job, file)) = asked?;
    sent(file.as_str(), app.document(job, language, file.as_str())).await
}

async fn issued_document(
    State(app): Shared,
    asked: At<(JobId, u64, FileName)>,
) -> Result<Response, Problem> {
    let Path((job, number, file)) = asked?;
    sent(file.as_str(), app.issued_document(job, number, &file)).await
}

async fn sounding(State(app): Shared, language: Asked, asked: At<(JobId, String)>) -> Reply {
    let Path((job, name)) = asked?;
    let missing = said!("page-such-recording");
    page(app, job, language, missing, move |worked, _| worked.sounding_page(&name)).await
}

async fn scan(State(app): Shared, language: Asked, asked: At<(JobId, String)>) -> Reply {
    let Path((job, name)) = asked?;
    let missing = said!("page-such-scan");
    page(app, job, language, missing, move |worked, words| worked.scan_page(&name, words)).await
}

async fn recording(State(app): Shared, asked: At<(JobId, String)>) -> Result<Response, Problem> {
    let Path((job, name)) = asked?;
    let found = app.recording(job, &name).await?;
    let (file, recorded) = found.ok_or_else(|| Problem::not_found(said!("page-such-recording")))?;
    Ok(bytes(file.as_str(), recorded).into_response())
}

async fn spectra(
    State(app): Shared,
    Asked(language): Asked,
    asked: At<(JobId, String)>,
) -> Result<Response, Problem> {
    let Path((job, name)) = asked?;
    let svg = app.spectra(job, language, name).await?;
    let svg = svg.ok_or_else(|| Problem::not_found(said!("page-such-recording")))?;
    Ok(bytes("spectra.svg", svg).into_response())
}

async fn photo(State(app): Shared, asked: At<(JobId, FileName)>) -> Result<Response, Problem> {
    let Path((job, file)) = asked?;
    sent(file.as_str(), app.photo(job, file.as_str())).await
}

/// A result whose messages are told in the reader's language.
fn told<T: serde::Serialize>(Asked(language): Asked, result: &T) -> Reply {
    let words = Words::new(language.unwrap_or(Language::English), UnitSystem::UsCustomary);
    let value = words.json(result);
    value.map(Json).map_err(|error| Refusal::Ours(error.to_string().into()).into())
}

async fn things(State(app): Shared, language: Asked, asked: At<JobId>) -> Reply {
    let Path(job) = asked?;
    told(language, &app.things(job).await?)
}

async fn fields(language: Asked) -> Reply {
    told(language, FieldsPage::known())
}

fn at_most_mib(bytes: u64) -> Problem {
    Problem::too_large(said!("page-at-most-mib-at-a-time", most = bytes / 1024 / 1024))
}

async fn push(
    State(app): Shared,
    language: Asked,
    asked: At<JobId>,
    body: Result<Bytes, BytesRejection>,
) -> Reply {
    let Path(job) = asked?;
    let body = body.map_err(|rejection| match rejection.status() {
        StatusCode::PAYLOAD_TOO_LARGE => at_most_mib(ENTRIES_BYTES as u64),
        _ => broken_off(),
    })?;
    let lines: Vec<(u32, Vec<u8>)> = (1..)
        .zip(body.split(|byte| *byte == b'\n'))
        .filter(|(_, line)| !line.trim_ascii().is_empty())
        .map(|(number, line)| (number, line.to_vec()))
        .collect();
    if lines.len() > ENTRIES {
        return Err(Problem::too_large(said!("page-at-most-entries-at-a-time", most = ENTRIES)));
    }
    match app.push(job, lines).await {
        Ok(pushed) => told(language, &pushed),
        Err(Refusal::Input(faults)) => Err(Problem {
            errors: faults.iter().map(FaultOut::from).collect(),
            ..Problem::refused(StatusCode::UNPROCESSABLE_ENTITY, said!("page-no-entry-among-it"))
        }),
        Err(refusal) => Err(refusal.into()),
    }
}

fn broken_off() -> Problem {
    Problem::refused(StatusCode::BAD_REQUEST, said!("page-it-broke-off"))
}

/// The next bytes of what is sent; none at its end.
async fn next_piece(body: &mut Body) -> Result<Option<Bytes>, Problem> {
    loop {
        let frame = poll_fn(|context| Pin::new(&mut *body).poll_frame(context));
        match tokio::time::timeout(SILENCE, frame).await {
            Ok(None) => return Ok(None),
            Ok(Some(Ok(frame))) => {
                if let Ok(piece) = frame.into_data() {
                    return Ok(Some(piece));
                }
            }
            Ok(Some(Err(_))) | Err(_) => return Err(broken_off()),
        }
    }
}

async fn put_file(State(app): Shared, asked: At<(JobId, FileHash)>, request: Request) -> Reply {
    let Path((job, hash)) = asked?;
    let mut body = request.into_body();
    if body.size_hint().lower() > FILE_BYTES {
        return Err(at_most_mib(FILE_BYTES));
    }
    let gone = || Problem::refused(StatusCode::GONE, said!("page-file-was-erased"));
    let mut incoming = app.file_begun(job, hash).await?.ok_or_else(gone)?;
    while let Some(piece) = next_piece(&mut body).await? {
        if incoming.bytes() + piece.len() as u64 > FILE_BYTES {
            return Err(at_most_mib(FILE_BYTES));
        }
        incoming.write(&piece).await.map_err(Refusal::from)?;
    }
    let stored = incoming.finish().await.map_err(Refusal::from)?;
    let other = || {
        let detail = said!("page-other-bytes-than-of-the-hash", hash = hash.to_string());
        Problem::refused(StatusCode::UNPROCESSABLE_ENTITY, detail)
    };
    json(&Stored { hash, bytes: stored.ok_or_else(other)? })
}

async fn attached_file(
    State(app): Shared,
    asked: At<(JobId, FileHash)>,
) -> Result<Response, Problem> {
    let Path((job, hash)) = asked?;
    let found = app.attached(job, hash).await?;
    let (name, found) = found.ok_or_else(|| Problem::not_found(said!("page-such-file")))?;
    let own = name.as_str().rsplit('/').next().unwrap_or_default();
    Ok(bytes(own, found).into_response())
}
