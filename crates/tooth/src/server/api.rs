//! The addresses that the page reads, each with its handler and its description: one
//! list gives the router and the OpenAPI document (version 3.1).

use std::future::Future;
use std::sync::Arc;

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

use super::reply::{Problem, Reply, bytes};
use crate::app::{App, AreaPage, JobPage, PlanPage, ScanPage, SoundingPage, Worked};
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
        Self::not_found("job, area or file of such a name")
    }
}

impl From<QueryRejection> for Problem {
    fn from(_: QueryRejection) -> Self {
        Self::not_found("thing of such a name")
    }
}

type Asked<T> = Result<Path<T>, PathRejection>;

async fn jobs(State(app): Shared) -> Reply<Jobs> {
    Ok(Json(Jobs { jobs: app.jobs().await? }))
}

async fn job(State(app): Shared, asked: Asked<JobId>) -> Reply<JobPage> {
    let Path(job) = asked?;
    Ok(Json(app.page(job, Worked::job_page).await??))
}

async fn area(State(app): Shared, asked: Asked<(JobId, String)>) -> Reply<AreaPage> {
    let Path((job, zone)) = asked?;
    let zone = ZoneId::new(&zone).ok_or_else(|| Problem::not_found("such area"))?;
    let page = app.page(job, move |worked| worked.area_page(&zone)).await?;
    page.map(Json).ok_or_else(|| Problem::not_found("such area"))
}

async fn plan(State(app): Shared, asked: Asked<JobId>) -> Reply<PlanPage> {
    let Path(job) = asked?;
    Ok(Json(app.page(job, Worked::plan_page).await?))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HistoryOf {
    thing: Option<Thing>,
}

async fn history(
    State(app): Shared,
    asked: Asked<JobId>,
    query: Result<Query<HistoryOf>, QueryRejection>,
) -> Reply<History> {
    let (Path(job), Query(of)) = (asked?, query?);
    Ok(Json(app.history_of(job, of.thing.as_ref()).await?))
}

async fn sent<F>(name: &str, found: F) -> Result<Response, Problem>
where
    F: Future<Output = Result<Option<Vec<u8>>, crate::app::Refusal>>,
{
    let found = found.await?.ok_or_else(|| Problem::not_found("such file"))?;
    Ok(bytes(name, found).into_response())
}

async fn document(
    State(app): Shared,
    asked: Asked<(JobId, FileName)>,
) -> Result<Response, Problem> {
    let Path((job, file)) = asked?;
    sent(file.as_str(), app.document(job, file.as_str())).await
}

async fn issued_document(
    State(app): Shared,
    asked: Asked<(JobId, u64, FileName)>,
) -> Result<Response, Problem> {
    let Path((job, number, file)) = asked?;
    sent(file.as_str(), app.issued_document(job, number, &file)).await
}

async fn sounding(State(app): Shared, asked: Asked<(JobId, String)>) -> Reply<SoundingPage> {
    let Path((job, name)) = asked?;
    let page = app.page(job, move |worked| worked.sounding_page(&name)).await?;
    page.map(Json).ok_or_else(|| Problem::not_found("such recording"))
}

async fn scan(State(app): Shared, asked: Asked<(JobId, String)>) -> Reply<ScanPage> {
    let Path((job, name)) = asked?;
    let page = app.page(job, move |worked| worked.scan_page(&name)).await?;
    page.map(Json).ok_or_else(|| Problem::not_found("such scan"))
}

async fn recording(State(app): Shared, asked: Asked<(JobId, String)>) -> Result<Response, Problem> {
    let Path((job, name)) = asked?;
    let found = app.recording(job, &name).await?;
    let (file, recorded) = found.ok_or_else(|| Problem::not_found("such recording"))?;
    Ok(bytes(file.as_str(), recorded).into_response())
}

async fn spectra(State(app): Shared, asked: Asked<(JobId, String)>) -> Result<Response, Problem> {
    let Path((job, name)) = asked?;
    let found = app.page(job, move |worked| worked.sounding_spectra(&name)).await?;
    let svg = found.ok_or_else(|| Problem::not_found("such recording"))?;
    Ok(bytes("spectra.svg", svg).into_response())
}

async fn photo(State(app): Shared, asked: Asked<(JobId, FileName)>) -> Result<Response, Problem> {
    let Path((job, file)) = asked?;
    sent(file.as_str(), app.photo(job, file.as_str())).await
}
