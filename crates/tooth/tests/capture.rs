//! What a device may send to the served record, what becomes of it, and what is refused.

#![expect(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod load;
mod served;
mod support;

use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::{Value, json};
use served::{Answer, Served, fits};
use support::{Temporary, json as printed, tooth, workspace};
use tooth_record::FileHash;

const JOB: &str = "01990000-0000-7000-8000-00000000000a";
const LINES: &str = "Content-Type: application/x-ndjson";
const BYTES: &str = "Content-Type: application/octet-stream";

fn id(number: u32) -> String {
    format!("01990000-0000-7000-8000-{number:012x}")
}

fn entry(number: u32, fact: &Value) -> String {
    json!({
        "schema": 1, "id": id(number), "author": "Ana Ruiz", "device": "tablet 3",
        "device_time": "2026-09-14T08:30:00Z", "fact": fact
    })
    .to_string()
}

fn stated(number: u32, thing: &str, value: Value) -> String {
    entry(number, &json!({ "stated": { "thing": thing, "value": value } }))
}

fn drop_test(seconds: &str) -> Value {
    json!({
        "kind": "water_drop", "zone": "A", "x": "3.2", "y": "4.1", "value": seconds, "unit": "s",
        "time": "2026-09-14T08:30", "by": "Ana Ruiz"
    })
}

impl Served {
    fn push(&self, lines: &[String]) -> Answer {
        let path = format!("/api/jobs/{JOB}/entries");
        let host = format!("Host: {}", self.address);
        self.send("POST", &path, &[&host, LINES], lines.join("\n").as_bytes())
    }

    fn put(&self, hash: FileHash, bytes: &[u8]) -> Answer {
        let path = format!("/api/jobs/{JOB}/files/{hash}");
        self.send("PUT", &path, &[&format!("Host: {}", self.address), BYTES], bytes)
    }

    fn things(&self) -> Value {
        let answer = self.get(&format!("/api/jobs/{JOB}/things"));
        assert_eq!(answer.status, 200, "{}", answer.json());
        answer.json()
    }

    fn thing(&self, name: &str) -> Value {
        let things = self.things();
        let all = things["things"].as_array().unwrap();
        all.iter().find(|held| held["thing"] == name).cloned().unwrap_or_default()
    }

    /// All files that the record keeps, whole or in the making.
    fn kept(&self) -> Vec<String> {
        let mut names = Vec::new();
        for folder in fs::read_dir(self.data().join("files")).unwrap() {
            for file in fs::read_dir(folder.unwrap().path()).unwrap() {
                names.push(file.unwrap().file_name().into_string().unwrap());
            }
        }
        names
    }
}

fn outcomes(answer: &Answer) -> Vec<String> {
    assert_eq!(answer.status, 200, "{}", answer.json());
    let answer = answer.json();
    let outcomes = answer["outcomes"].as_array().unwrap();
    outcomes.iter().map(|one| one["outcome"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn the_first_push_makes_the_job_and_the_same_push_changes_nothing() {
    let served = Served::start(&[]);
    assert_eq!(served.get(&format!("/api/jobs/{JOB}/things")).status, 404);
    let lines = [
        stated(1, "job", json!({ "name": "Barn floor" })),
        stated(2, "reading/R001", drop_test("12")),
    ];
    let first = served.push(&lines);
    assert_eq!(outcomes(&first), ["placed", "placed"]);
    assert_eq!(first.json()["outcomes"][1]["place"], 2);
    assert_eq!(first.json()["outcomes"][1]["id"], id(2));
    let described = served.get("/api/openapi.json").json();
    let operation = &described["paths"]["/api/jobs/{job}/entries"]["post"];
    let schema = &operation["responses"]["200"]["content"]["application/json"]["schema"];
    let mut wrong = Vec::new();
    fits(&described, schema, &first.json(), "entries", &mut wrong);
    assert!(wrong.is_empty(), "{wrong:#?}");
    let again = served.push(&lines);
    assert_eq!(outcomes(&again), ["known", "known"]);
    assert_eq!(first.json()["head"], again.json()["head"]);
    assert_eq!(served.things()["entries"], 2);
    let jobs = served.get("/api/jobs").json();
    assert_eq!(
        (&jobs["jobs"][0]["job"], &jobs["jobs"][0]["name"]),
        (&JOB.into(), &"Barn floor".into())
    );
}

#[test]
fn a_line_that_is_no_entry_holds_up_no_other() {
    let served = Served::start(&[]);
    let lines = [
        stated(1, "reading/R001", drop_test("12")),
        String::new(),
        "{\"no\":\"entry\"}".to_owned(),
        stated(2, "no-such-kind/R001", drop_test("12")),
        stated(3, "reading/R002", drop_test("14")),
        entry(4, &json!({ "erased": { "hash": FileHash::of(b"x"), "reason": "a try" } })),
        // An id that is taken, with other words.
        stated(1, "reading/R001", drop_test("13")),
    ];
    let answer = served.push(&lines);
    assert_eq!(outcomes(&answer), ["placed", "refused", "refused", "placed", "refused", "refused"]);
    let answer = answer.json();
    let lines: Vec<_> = [1, 3, 4, 5, 6, 7].map(Value::from).into();
    let told = answer["outcomes"].as_array().unwrap();
    assert_eq!(told.iter().map(|one| one["line"].clone()).collect::<Vec<_>>(), lines);
    assert_eq!((&told[1]["id"], &told[2]["id"]), (&Value::Null, &id(2).into()));
    assert!(told.iter().all(|one| one["place"].is_null() != one["why"].is_null()));
    assert_eq!(served.thing("reading/R001")["value"]["value"], "12");

    let nothing = served.push(&["{}".to_owned(), "nonsense".to_owned()]);
    assert_eq!(nothing.status, 422);
    assert_eq!(nothing.json()["errors"][1]["line"], 2);
    assert_eq!(served.push(&[]).status, 422);
}

#[test]
fn at_most_so_many_entries_and_bytes_come_at_a_time() {
    let served = Served::start(&[]);
    let many: Vec<String> =
        (0..1001).map(|n| stated(n, &format!("reading/R{n}"), drop_test("12"))).collect();
    assert_eq!(served.push(&many).status, 413);
    assert_eq!(outcomes(&served.push(&many[..1000])).len(), 1000);
    let long = stated(2000, "reading/R2000", json!({ "note": "x".repeat(8 << 20) }));
    assert_eq!(served.push(&[long]).status, 413);
}

#[test]
fn corrections_withdrawals_and_clashes_show_as_they_stand() {
    let served = Served::start(&[]);
    let fact = |name: &str, thing: &str, replaces: u32, value: Option<Value>| {
        let mut fact = json!({ "thing": thing, "replaces": [id(replaces)], "reason": "a slip" });
        if let Some(value) = value {
            fact["value"] = value;
        }
        json!({ name: fact })
    };
    served.push(&[
        stated(1, "reading/R001", drop_test("12")),
        stated(2, "reading/R002", drop_test("20")),
        stated(3, "reading/R003", drop_test("30")),
        entry(4, &fact("corrected", "reading/R001", 1, Some(drop_test("13")))),
        entry(5, &fact("withdrawn", "reading/R002", 2, None)),
        entry(6, &fact("corrected", "reading/R003", 3, Some(drop_test("31")))),
        entry(7, &fact("corrected", "reading/R003", 3, Some(drop_test("32")))),
    ]);
    let corrected = served.thing("reading/R001");
    assert_eq!(
        (&corrected["state"], &corrected["value"]["value"]),
        (&"counts".into(), &"13".into())
    );
    assert_eq!((&corrected["entries"], &corrected["versions"]), (&json!([id(4)]), &json!([])));
    assert_eq!(corrected["author"], "Ana Ruiz");
    let withdrawn = served.thing("reading/R002");
    assert_eq!((&withdrawn["state"], &withdrawn["value"]), (&"withdrawn".into(), &Value::Null));
    let clash = served.thing("reading/R003");
    assert_eq!((&clash["state"], &clash["value"]["value"]), (&"clash".into(), &"32".into()));
    assert_eq!(clash["entries"], json!([id(6), id(7)]));
    let versions = clash["versions"].as_array().unwrap();
    let said: Vec<_> = versions.iter().map(|version| &version["value"]["value"]).collect();
    assert_eq!(said, ["31", "32"]);
    assert_eq!(versions[0]["reason"], "a slip");
}

#[test]
fn a_file_comes_before_the_entry_that_attaches_it() {
    let served = Served::start(&[]);
    let photo = fs::read(workspace("demo/photos/oil.jpg")).unwrap();
    let hash = FileHash::of(&photo);
    let attached = |number: u32, name: &str, bytes: &[u8]| {
        let hash = FileHash::of(bytes);
        let fact = json!({ "name": name, "hash": hash, "bytes": bytes.len(), "replaces": [] });
        entry(number, &json!({ "attached": fact }))
    };
    let lines = [attached(1, "photos/a.jpg", &photo), stated(2, "job", json!({ "name": "Barn" }))];
    let early = served.push(&lines);
    assert_eq!(outcomes(&early), ["refused", "placed"]);
    assert!(early.json()["outcomes"][0]["why"].as_str().unwrap().contains(&hash.to_string()));
    let address = format!("/api/jobs/{JOB}/files/{hash}");
    for _ in 0..2 {
        let stored = served.put(hash, &photo);
        assert_eq!(stored.status, 200, "{}", stored.json());
        assert_eq!(stored.json(), json!({ "hash": hash, "bytes": photo.len() }));
    }
    // It is there, and counts for nothing yet.
    assert_eq!(served.get(&address).status, 404);
    assert_eq!(outcomes(&served.push(&lines)), ["placed", "known"]);
    let got = served.get(&address);
    assert_eq!((got.status, got.headers["content-type"].as_str()), (200, "image/jpeg"));
    assert_eq!(got.body, photo);
    let held = served.thing("file/photos/a.jpg");
    assert_eq!(held["file"], json!({ "hash": hash, "bytes": photo.len() }));

    // What cannot be shown is no photograph; elsewhere it is a file like any other.
    let text = b"no picture".as_slice();
    assert_eq!(served.put(FileHash::of(text), text).status, 200);
    let odd = [attached(3, "photos/b.jpg", text), attached(4, "sounding/b.txt", text)];
    assert_eq!(outcomes(&served.push(&odd)), ["refused", "placed"]);
    assert_eq!(served.kept().len(), 2);
}

#[test]
fn of_a_file_with_other_bytes_than_its_hash_nothing_is_kept() {
    let served = Served::start(&[]);
    served.push(&[stated(1, "job", json!({ "name": "Barn" }))]);
    // Longer than what is handed on at a time.
    let bytes = vec![7_u8; 11 << 20];
    let wrong = served.put(FileHash::of(b"other"), &bytes);
    assert_eq!(wrong.status, 422, "{}", wrong.json());
    assert!(served.kept().is_empty(), "{:?}", served.kept());
    let hash = FileHash::of(&bytes);
    // One that breaks off.
    let head = format!(
        "PUT /api/jobs/{JOB}/files/{hash} HTTP/1.1\r\nHost: {}\r\n{BYTES}\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
        served.address,
        bytes.len()
    );
    served.broken_off(&[head.as_bytes(), &bytes[..6 << 20]].concat());
    for _ in 0..100 {
        if served.kept().is_empty() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    assert!(served.kept().is_empty(), "{:?}", served.kept());
    assert_eq!(served.put(hash, &bytes).status, 200);
    assert_eq!(served.kept(), [hash.to_string()]);
    assert_eq!(served.put(FileHash::of(b""), b"").json()["bytes"], 0);

    let host = format!("Host: {}", served.address);
    let path = format!("/api/jobs/{JOB}/files/{hash}");
    let head = format!(
        "PUT {path} HTTP/1.1\r\n{host}\r\n{BYTES}\r\nContent-Length: 67108865\r\nConnection: close\r\n\r\n"
    );
    assert_eq!(served.raw(head.as_bytes()).status, 413);
    // One that does not say its length.
    let piece = [b"100000\r\n".as_slice(), &vec![1; 1 << 20], b"\r\n"].concat();
    let head = format!(
        "PUT {path} HTTP/1.1\r\n{host}\r\n{BYTES}\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n"
    );
    let body = [head.into_bytes(), piece.repeat(65), b"0\r\n\r\n".to_vec()].concat();
    assert!(matches!(served.raw(&body).status, 413 | 0));
    assert_eq!(served.kept().len(), 2);
}

#[test]
fn only_the_page_itself_may_write() {
    let served = Served::start(&[]);
    let line = stated(1, "job", json!({ "name": "Barn" }));
    let path = format!("/api/jobs/{JOB}/entries");
    let send = |headers: &[&str]| served.send("POST", &path, headers, line.as_bytes()).status;
    let host = format!("Host: {}", served.address);
    for header in [
        "Origin: http://elsewhere.example",
        "Origin: null",
        "Origin: http://localhost:1",
        "Sec-Fetch-Site: cross-site",
        "Sec-Fetch-Site: same-site",
    ] {
        assert_eq!(send(&[&host, LINES, header]), 403, "{header}");
    }
    for kind in [
        "Content-Type: text/plain",
        "Content-Type: application/x-www-form-urlencoded",
        "Content-Type: multipart/form-data; boundary=x",
        "Content-Type: application/octet-stream",
        "X-None: 1",
    ] {
        assert_eq!(send(&[&host, kind]), 415, "{kind}");
    }
    assert_eq!(send(&["Host: elsewhere.example", LINES]), 421);
    for method in ["PUT", "DELETE", "PATCH", "GET"] {
        let answer = served.send(method, &path, &[&host, LINES], line.as_bytes());
        assert_eq!(answer.status, 405, "{method}");
        assert_eq!(answer.headers["content-type"], "application/problem+json");
    }
    assert_eq!(served.send("POST", "/", &[&host, LINES], line.as_bytes()).status, 405);
    assert_eq!(served.get("/api/jobs").json()["jobs"], json!([]));
    let own = format!("Origin: http://{}", served.address);
    assert_eq!(send(&[&host, LINES, &own, "Sec-Fetch-Site: same-origin"]), 200);
}

#[test]
fn where_others_can_reach_it_nothing_is_written_unless_it_is_said() {
    let open = ["--address", "0.0.0.0"];
    let line = [stated(1, "job", json!({ "name": "Barn" }))];
    let served = Served::start_with(&[], &open, |_, _| {});
    let answer = served.push(&line);
    assert_eq!(answer.status, 403);
    assert!(answer.json()["detail"].as_str().unwrap().contains("--anyone-may-write"));
    assert_eq!(served.put(FileHash::of(b"x"), b"x").status, 403);
    let arguments = [open.as_slice(), &["--anyone-may-write"]].concat();
    let served = Served::start_with(&[], &arguments, |_, _| {});
    assert_eq!(outcomes(&served.push(&line)), ["placed"]);
}

#[test]
fn a_job_that_has_no_area_yet_shows_what_it_holds_and_lacks() {
    let served = Served::start(&[]);
    served.push(&[
        stated(1, "job", json!({ "name": "Barn floor" })),
        stated(
            2,
            "plan",
            json!({ "type": "FeatureCollection", "units": "ft", "north_degrees": 0 }),
        ),
        stated(3, "job/slab", json!({ "setting": "nowhere" })),
        stated(4, "reading/R001", drop_test("12")),
        stated(5, "reading/R002", drop_test("a while")),
        stated(
            6,
            "feature/c-1",
            json!({
                "type": "Feature", "properties": { "kind": "crack", "width": "wide" },
                "geometry": { "type": "LineString", "coordinates": [[0, 0], [4, 4]] }
            }),
        ),
    ]);
    let things = served.things();
    assert_eq!((&things["name"], &things["entries"]), (&"Barn floor".into(), &6.into()));
    assert_eq!(things["things"].as_array().unwrap().len(), 6);
    let faults = things["faults"].as_array().unwrap();
    let of = |field: &str| {
        let fault = faults.iter().find(|fault| fault["field"] == field);
        let told = fault.map(|fault| (fault["thing"].as_str(), fault["within"].as_str()));
        told.and_then(|(thing, within)| thing.zip(within)).unwrap_or_default()
    };
    assert_eq!(of("slab.setting"), ("job/slab", "setting"), "{faults:#?}");
    assert_eq!(of("client"), ("job/client", ""));
    assert_eq!(of("value"), ("reading/R002", "value"));
    assert_eq!(of("R001.zone"), ("reading/R001", "zone"));
    assert_eq!(of("features[1].properties.width"), ("feature/c-1", "width"));
    assert_eq!(of("features"), ("plan", "features"));
    assert_eq!(of("contractor"), ("job", "contractor"));
    let lacks = faults.iter().find(|fault| fault["file"] == "systems.toml").unwrap();
    assert_eq!((&lacks["thing"], &lacks["severity"]), (&Value::Null, &"fault".into()));

    for page in ["", "/plan", "/areas/A"] {
        let answer = served.get(&format!("/api/jobs/{JOB}{page}"));
        assert_eq!(answer.status, 422, "{page}");
        assert!(!answer.json()["errors"].as_array().unwrap().is_empty());
    }
    assert_eq!(served.get(&format!("/api/jobs/{JOB}/history")).status, 200);
    assert_eq!(served.get("/api/jobs").json()["jobs"][0]["entries"], 6);
}

#[test]
fn a_page_that_was_worked_out_shows_new_entries_at_once() {
    let served = Served::start(&["examples/nearly-ready"]);
    let base = format!("/api/jobs/{}", served.job);
    let before = served.get(&base).json()["entries"].as_u64().unwrap();
    let host = format!("Host: {}", served.address);
    let line = stated(1, "reading/NEW-1", drop_test("12"));
    served.send("POST", &format!("{base}/entries"), &[&host, LINES], line.as_bytes());
    let things = served.get(&format!("{base}/things")).json();
    assert_eq!(things["entries"].as_u64().unwrap(), before + 1);
    // The area that the test names is none of this job: the page says so at once too.
    assert_eq!(served.get(&base).status, 422);
    let fault = things["faults"].as_array().unwrap().iter().find(|f| f["field"] == "NEW-1.zone");
    assert_eq!(fault.unwrap()["thing"], "reading/NEW-1");
}

fn out(command: &mut Command) -> Value {
    let output = command.output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    printed(&output)
}

/// The bytes of every file that an exported folder carries.
fn carried(folder: &Path) -> Vec<Vec<u8>> {
    let mut bytes = Vec::new();
    for inner in fs::read_dir(folder).unwrap() {
        let path = inner.unwrap().path();
        if path.is_dir() {
            bytes.extend(carried(&path));
        } else {
            bytes.push(fs::read(path).unwrap());
        }
    }
    bytes
}

#[test]
fn a_job_that_was_pushed_is_assessed_as_its_folder_is() {
    let place = Temporary::new();
    let (source, folder) = (place.path().join("source"), place.path().join("exported"));
    let demo = workspace("demo");
    let own = place.path().join("demo");
    support::copy(&demo, &own);
    let imported =
        out(tooth(&["import".as_ref(), own.as_os_str(), "--json".as_ref()])
            .env("TOOTH_DATA", &source));
    let job = imported["job"].as_str().unwrap();
    out(tooth(&[
        "export".as_ref(),
        job.as_ref(),
        "--to".as_ref(),
        folder.as_os_str(),
        "--json".as_ref(),
    ])
    .env("TOOTH_DATA", &source));

    let served = Served::start(&[]);
    let host = format!("Host: {}", served.address);
    for bytes in carried(&folder.join("files")) {
        let path = format!("/api/jobs/{job}/files/{}", FileHash::of(&bytes));
        assert_eq!(served.send("PUT", &path, &[&host, BYTES], &bytes).status, 200);
    }
    let record = fs::read_to_string(folder.join("record.jsonl")).unwrap();
    let lines: Vec<&str> = record.lines().collect();
    for part in lines.chunks(100) {
        let path = format!("/api/jobs/{job}/entries");
        let answer = served.send("POST", &path, &[&host, LINES], part.join("\n").as_bytes());
        assert!(outcomes(&answer).iter().all(|outcome| outcome == "placed"), "{}", answer.json());
    }
    let things = served.get(&format!("/api/jobs/{job}/things")).json();
    assert_eq!(things["entries"], lines.len());
    let assess = |job: &std::ffi::OsStr, data: &Path| {
        out(tooth(&["assess".as_ref(), job, "--json".as_ref()]).env("TOOTH_DATA", data))
    };
    let pushed = assess(job.as_ref(), &served.data());
    assert!(pushed == assess(demo.as_os_str(), place.path()), "the assessments differ");
}
