//! The server through the built binary: what it answers, what it refuses, and what stands
//! around every answer. Spoken to over a plain socket, so that nothing is made polite on
//! the way.

#![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod served;
mod support;

use std::path::Path;
use std::time::Duration;

use serde_json::Value;
use served::{Served, fits};
use support::tooth;

#[test]
fn every_described_address_answers_as_described() {
    let served = Served::start(&["demo"]);
    let described = served.get("/api/openapi.json").json();
    let jobs = served.get("/api/jobs").json();
    assert_eq!(jobs["jobs"][0]["job"], served.job.as_str());
    let page = served.get(&format!("/api/jobs/{}", served.job)).json();
    let zone = page["areas"][0]["zone"].as_str().unwrap().to_owned();
    for (path, operation) in described["paths"].as_object().unwrap() {
        let asked = path
            .replace("{job}", &served.job)
            .replace("{zone}", &zone)
            .replace("scans/{name}", "scans/cafe-counter")
            .replace("{name}", "cafe-bay")
            .replace("{number}", "1")
            .replace("{file}", "plan.json");
        if operation.get("get").is_none() {
            continue;
        }
        let answer = served.get(&asked);
        let content = &operation["get"]["responses"]["200"]["content"];
        let Some(schema) = content.get("application/json").map(|json| &json["schema"]) else {
            // Files: those that are not there are said in words.
            if answer.status != 200 {
                assert_eq!(answer.headers["content-type"], "application/problem+json", "{path}");
                assert!(!answer.json()["title"].as_str().unwrap().is_empty());
            }
            continue;
        };
        assert_eq!(answer.status, 200, "{asked}");
        assert_eq!(answer.headers["content-type"], "application/json");
        let mut wrong = Vec::new();
        fits(&described, schema, &answer.json(), path, &mut wrong);
        assert!(wrong.is_empty(), "{path} does not answer as described: {wrong:#?}");
    }
}

#[test]
fn documents_and_photographs_come_with_their_kind() {
    let served = Served::start(&["demo"]);
    let base = format!("/api/jobs/{}", served.job);
    let report = served.get(&format!("{base}/documents/condition-report.pdf"));
    assert_eq!((report.status, report.headers["content-type"].as_str()), (200, "application/pdf"));
    assert!(report.body.starts_with(b"%PDF"));
    let photo = served.get(&format!("{base}/photos/oil.jpg"));
    assert_eq!((photo.status, photo.headers["content-type"].as_str()), (200, "image/jpeg"));
    // A file of the job that the plan does not name as a photograph is none.
    assert_eq!(served.get(&format!("{base}/photos/README.md")).status, 404);
    assert_eq!(served.get(&format!("{base}/documents/margin.pdf")).status, 404);
    assert_eq!(served.get(&format!("{base}/issues/1/plan.svg")).status, 404);
}

#[test]
fn the_same_policy_stands_around_every_answer() {
    let served = Served::start(&["examples/nearly-ready"]);
    for path in ["/", "/api/jobs", "/api/jobs/none", "/nothing.js", "/api/none"] {
        let answer = served.get(path);
        let policy = &answer.headers["content-security-policy"];
        assert!(policy.contains("default-src 'none'"), "{path}: {policy}");
        assert!(policy.contains("frame-ancestors 'none'") && !policy.contains("unsafe"), "{path}");
        assert_eq!(answer.headers["x-content-type-options"], "nosniff", "{path}");
        assert_eq!(answer.headers["referrer-policy"], "no-referrer", "{path}");
        assert!(!answer.headers.contains_key("access-control-allow-origin"), "{path}");
    }
}

#[test]
fn nothing_but_reading_and_only_under_names_of_this_machine() {
    let served = Served::start(&["examples/nearly-ready"]);
    for method in ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"] {
        assert_eq!(served.ask(method, "/api/jobs", &served.address).status, 405, "{method}");
    }
    let port = served.address.rsplit(':').next().unwrap();
    assert_eq!(served.ask("GET", "/api/jobs", &format!("localhost:{port}")).status, 200);
    for host in ["elsewhere.example", "localhost.elsewhere.example", "192.0.2.7:8323", ""] {
        assert_eq!(served.ask("GET", "/api/jobs", host).status, 421, "`{host}`");
    }
}

#[test]
fn paths_that_lead_out_or_are_no_paths_find_nothing() {
    let served = Served::start(&["examples/nearly-ready"]);
    let base = format!("/api/jobs/{}", served.job);
    let out = [
        "/../Cargo.toml".to_owned(),
        "/..%2f..%2fetc%2fpasswd".to_owned(),
        "/assets/../../Cargo.toml".to_owned(),
        "/%2e%2e/%2e%2e/etc/passwd".to_owned(),
        format!("{base}/documents/..%2f..%2finstallation.key"),
        format!("{base}/photos/..%2f..%2f..%2ftooth.sqlite"),
        format!("{base}/photos/%00.jpg"),
        format!("{base}/issues/99999999999999999999/plan.svg"),
        format!("{base}/areas/%2e%2e"),
        format!("{base}/history?thing=../x"),
        format!("{base}/history?other=1"),
        "/api/jobs/75D40C34-9062-8BB5-B4AD-10612726440A".to_owned(),
        "/api/jobs/1".to_owned(),
    ];
    for path in out {
        let answer = served.get(&path);
        let text = String::from_utf8_lossy(&answer.body).into_owned();
        // What may be an address of the page gets the page, which then says that it is none.
        let page = answer.status == 200 && text.starts_with("<!doctype html>");
        assert!(answer.status == 404 || page && !path.starts_with("/api"), "{path}: {text}");
        assert!(!text.contains("root:") && !text.contains("[package]"), "{path}: {text}");
    }
    // Folders are not listed.
    assert_eq!(served.get("/assets/").status, 404);
    // A thing's name may hold a dot: that is an address of the page.
    let page = served.get(&format!("/jobs/{}/areas/a.b", served.job));
    assert!(String::from_utf8_lossy(&page.body).starts_with("<!doctype html>"));
    assert_eq!(served.get("/api").status, 404);
}

#[test]
fn nonsense_on_the_wire_ends_nothing() {
    let served = Served::start(&["examples/nearly-ready"]);
    let long = format!(
        "GET /{} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n",
        "a".repeat(200_000),
        served.address
    );
    let many: String = (0..5000).map(|n| format!("X-{n}: {n}\r\n")).collect();
    let many = format!("GET / HTTP/1.1\r\nHost: {}\r\n{many}\r\n", served.address);
    for request in [
        b"\0\0\0\0\r\n\r\n".as_slice(),
        b"GET\r\n\r\n",
        b"GET / HTTP/9.9\r\n\r\n",
        long.as_bytes(),
        many.as_bytes(),
    ] {
        assert_ne!(served.raw(request).status, 200);
    }
    let body = format!(
        "GET /api/jobs HTTP/1.1\r\nHost: {}\r\nContent-Length: 1000000\r\nConnection: close\r\n\r\n{}",
        served.address,
        "x".repeat(1_000_000)
    );
    // A body that nobody asked for is not read.
    let _ = served.raw(body.as_bytes());
    served.broken_off(body.as_bytes());
    assert_eq!(served.get("/api/jobs").status, 200);
}

#[test]
fn a_job_that_cannot_be_read_does_not_hide_the_others() {
    let served = Served::start(&["examples/rejected-slab", "examples/nearly-ready"]);
    let data = served.data();
    let job = served.job.clone();
    let act = ["--by", "M. Adeyemi", "--reason", "a test", "--anyway"];
    let output = tooth(&[&["withdraw", job.as_str(), "plan"], act.as_slice()].concat())
        .env("TOOTH_DATA", &data)
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let page = served.get(&format!("/api/jobs/{job}"));
    assert_eq!(page.status, 422);
    assert!(page.json()["errors"].to_string().contains("plan.geojson"), "{}", page.json());
    let jobs = served.get("/api/jobs").json();
    let others: Vec<&str> = jobs["jobs"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|j| j["job"].as_str())
        .filter(|j| *j != job)
        .collect();
    assert_eq!(others.len(), 1);
    assert_eq!(served.get(&format!("/api/jobs/{}", others[0])).status, 200);
}

#[test]
fn a_page_that_is_open_shows_what_comes_in_while_it_is_served() {
    let served = Served::start(&["examples/nearly-ready"]);
    let path = format!("/api/jobs/{}", served.job);
    let before = served.get(&path).json()["entries"].as_u64().unwrap();
    let data = served.data();
    let history = served.get(&format!("{path}/history")).json();
    let reading = history["entries"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|one| one["entry"]["fact"]["stated"]["thing"].as_str())
        .find(|thing| thing.starts_with("reading/"))
        .unwrap()
        .to_owned();
    let act = ["--by", "M. Adeyemi", "--reason", "a test"];
    let output = tooth(&[&["withdraw", served.job.as_str(), &reading], act.as_slice()].concat())
        .env("TOOTH_DATA", &data)
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert_eq!(served.get(&path).json()["entries"].as_u64().unwrap(), before + 1);
}

/// The demo's floor many times over, so that it takes long to be worked out.
fn many_times_over(folder: &Path) {
    let path = folder.join("plan.geojson");
    let mut plan: Value = serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap();
    let features = plan["features"].as_array().unwrap().clone();
    let all = plan["features"].as_array_mut().unwrap();
    for copy in 1..8 {
        for feature in &features {
            let mut feature = feature.clone();
            let named = &mut feature["properties"]["id"];
            *named = format!("{}-{copy}", named.as_str().unwrap()).into();
            if feature["properties"]["kind"] == "photo"
                || feature["properties"]["file"] != Value::Null
            {
                continue;
            }
            shift(&mut feature["geometry"]["coordinates"], 500.0 * f64::from(copy));
            all.push(feature);
        }
    }
    std::fs::write(&path, serde_json::to_vec(&plan).unwrap()).unwrap();
    let job = folder.join("job.toml");
    let text = std::fs::read_to_string(&job).unwrap();
    let named = text.lines().find(|line| line.starts_with("name")).unwrap().to_owned();
    std::fs::write(&job, text.replacen(&named, "name = \"Many floors\"", 1)).unwrap();
}

/// Moves coordinates, however deep they lie, to the right.
fn shift(coordinates: &mut Value, by: f64) {
    let Value::Array(held) = coordinates else { return };
    match held.as_slice() {
        [Value::Number(x), ..] => held[0] = (x.as_f64().unwrap() + by).into(),
        _ => held.iter_mut().for_each(|inner| shift(inner, by)),
    }
}

/// A job that takes long holds up no page of another.
#[test]
fn a_job_that_takes_long_holds_up_no_other() {
    let served = Served::start_with(&["demo", "demo"], &[], |number, folder| {
        if number == 1 {
            many_times_over(folder);
        }
    });
    let jobs = served.get("/api/jobs").json();
    let small =
        jobs["jobs"].as_array().unwrap().iter().find(|job| job["job"] != served.job.as_str());
    let small = format!("/api/jobs/{}", small.unwrap()["job"].as_str().unwrap());
    let large = format!("/api/jobs/{}", served.job);
    assert_eq!(served.get(&small).status, 200);
    std::thread::scope(|scope| {
        let slow = scope.spawn(|| {
            let answer = served.get(&large);
            (answer.status, std::time::Instant::now())
        });
        std::thread::sleep(Duration::from_millis(300));
        let mut answered = Vec::new();
        for _ in 0..5 {
            assert_eq!(served.get(&small).status, 200);
            answered.push(std::time::Instant::now());
        }
        let (status, done) = slow.join().unwrap();
        assert_eq!(status, 200);
        assert!(answered.iter().all(|at| *at < done), "a kept job waited for another");
    });
}
