//! The addresses that the page reads, each with its handler and its description: one
//! list gives the router and the OpenAPI document (version 3.1).

use std::future::Future;
use std::sync::Arc;
use tooth_measure::say::{Said, said};

use axum::extract::rejection::{PathRejection, QueryRejection};
use axum::extract::{Path, Query, State};
use axum::handler::Handler;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use axum::{Json, Router};
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, SchemaGenerator};
use serde::Deserialize;
use serde_json::{Map, Value, json};
use tooth_job::survey::ZoneId;
use tooth_record::{FileName, JobId, Thing};

use tooth_words::Words;

use super::reply::{Asked, Problem, Reply, bytes};
use crate::app::{App, AreaPage, JobPage, PlanPage, Refusal, ScanPage, SoundingPage, Worked};
use crate::output::{History, Jobs};

type Shared = State<Arc<App>>;

/// The router and its description, built together.
struct Addresses {
    router: Router<Arc<App>>,
    paths: Map<String, Value>,
    schemas: SchemaGenerator,
}

impl Addresses {
    fn new() -> Self {
        let settings = SchemaSettings::draft2020_12()
            .for_serialize()
            .with(|settings| settings.definitions_path = "/components/schemas".into());
        Self { router: Router::new(), paths: Map::new(), schemas: settings.into_generator() }
    }

    /// An address that answers with JSON.
    fn json<T: JsonSchema, H, Given>(mut self, path: &str, id: &str, says: &str, handler: H) -> Self
    where
        H: Handler<Given, Arc<App>>,
        Given: 'static,
    {
        let schema = self.schemas.subschema_for::<T>();
        let content = json!({ "application/json": { "schema": schema } });
        self.describe(path, id, says, &content);
        self.router = self.router.route(path, get(handler));
        self
    }

    /// An address that answers with a file.
    fn file<H, Given>(mut self, path: &str, id: &str, says: &str, handler: H) -> Self
    where
        H: Handler<Given, Arc<App>>,
        Given: 'static,
    {
        self.describe(path, id, says, &json!({ "application/octet-stream": {} }));
        self.router = self.router.route(path, get(handler));
        self
    }

    fn describe(&mut self, path: &str, id: &str, says: &str, content: &Value) {
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
        self.paths.insert(
            path.to_owned(),
            json!({ "get": {
                "operationId": id,
                "summary": says,
                "parameters": parameters,
                "responses": {
                    "200": { "description": says, "content": content },
                    "default": { "description": "Why there is no answer.", "content": { "application/problem+json": { "schema": problem } } }
                }
            } }),
        );
    }
}

fn addresses() -> Addresses {
    Addresses::new()
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
}

/// Every address, without the page's own files.
pub(super) fn router(app: Arc<App>) -> Router {
    addresses().router.route("/api/openapi.json", get(description)).with_state(app)
}

async fn description() -> Json<Value> {
    Json(open_api())
}

/// The description of every address.
pub(crate) fn open_api() -> Value {
    let mut addresses = addresses();
    let schemas = addresses.schemas.take_definitions(true);
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Tooth",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "What the page reads. JSON is SI where it holds numbers; texts are for people, in both systems of units.",
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
