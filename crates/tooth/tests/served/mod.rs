//! The built binary as a server, spoken to over a plain socket.

use std::collections::BTreeMap;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};
use std::time::Duration;

use serde_json::Value;

use crate::support::{Temporary, copy, json, tooth, workspace};

/// The built binary, serving.
pub(crate) struct Served {
    program: Child,
    pub(crate) address: String,
    /// The last of the jobs that it was started with.
    pub(crate) job: String,
    place: Temporary,
}

impl Drop for Served {
    fn drop(&mut self) {
        // It ends by itself where it was never started right.
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) headers: BTreeMap<String, String>,
    pub(crate) body: Vec<u8>,
}

impl Answer {
    pub(crate) fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap()
    }
}

impl Served {
    pub(crate) fn start(jobs: &[&str]) -> Self {
        Self::start_with(jobs, &[], |_, _| {})
    }

    /// With these arguments and every folder changed, told its number, before it is taken in.
    pub(crate) fn start_with(
        jobs: &[&str],
        arguments: &[&str],
        change: impl Fn(usize, &Path),
    ) -> Self {
        let place = Temporary::new();
        let data = place.path().join("data");
        let mut job = String::new();
        for (number, folder) in jobs.iter().enumerate() {
            let own = place.path().join(format!("{number}-{folder}"));
            copy(&workspace(folder), &own);
            change(number, &own);
            let output = tooth(&["import".as_ref(), own.as_os_str(), "--json".as_ref()])
                .env("TOOTH_DATA", &data)
                .output()
                .unwrap();
            job = json(&output)["job"].as_str().unwrap().to_owned();
        }
        let mut program = tooth(&[&["serve", "--port", "0", "--json"], arguments].concat())
            .env("TOOTH_DATA", &data)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(program.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let said: Value = serde_json::from_str(&line).unwrap();
        let page = said["page"].as_str().unwrap();
        let address = page
            .trim_start_matches("http://")
            .trim_end_matches('/')
            .replace("0.0.0.0", "127.0.0.1");
        Self { program, address, job, place }
    }

    /// The folder of its record.
    pub(crate) fn data(&self) -> PathBuf {
        self.place.path().join("data")
    }

    /// Sends these very bytes.
    pub(crate) fn raw(&self, request: &[u8]) -> Answer {
        let mut socket = TcpStream::connect(&self.address).unwrap();
        socket.set_read_timeout(Some(Duration::from_secs(150))).unwrap();
        // A server that has read enough may close before all is sent.
        let _ = socket.write_all(request);
        let mut bytes = Vec::new();
        let _ = socket.read_to_end(&mut bytes);
        let end = bytes.windows(4).position(|window| window == b"\r\n\r\n").unwrap_or(bytes.len());
        let head = String::from_utf8_lossy(&bytes[..end]).into_owned();
        let mut lines = head.lines();
        let status =
            lines.next().and_then(|line| line.split(' ').nth(1)).and_then(|s| s.parse().ok());
        let headers = lines
            .filter_map(|line| line.split_once(": "))
            .map(|(name, value)| (name.to_lowercase(), value.to_owned()))
            .collect();
        Answer {
            status: status.unwrap_or(0),
            headers,
            body: bytes.get(end + 4..).unwrap_or_default().to_vec(),
        }
    }

    /// Sends these bytes and goes away.
    pub(crate) fn broken_off(&self, request: &[u8]) {
        let mut socket = TcpStream::connect(&self.address).unwrap();
        // The server may go away first.
        let _ = socket.write_all(request);
    }

    /// Sends a body with these headers.
    pub(crate) fn send(&self, method: &str, path: &str, headers: &[&str], body: &[u8]) -> Answer {
        let headers: String = headers.iter().map(|header| format!("{header}\r\n")).collect();
        let length = body.len();
        let head = format!(
            "{method} {path} HTTP/1.1\r\n{headers}Content-Length: {length}\r\nConnection: close\r\n\r\n"
        );
        self.raw(&[head.as_bytes(), body].concat())
    }

    pub(crate) fn ask(&self, method: &str, path: &str, host: &str) -> Answer {
        self.send(method, path, &[&format!("Host: {host}")], b"")
    }

    pub(crate) fn get(&self, path: &str) -> Answer {
        self.ask("GET", path, &self.address)
    }
}

/// As much of JSON Schema as the description uses: references, types, required and known
/// fields, lists, closed lists, either-or.
pub(crate) fn fits(
    whole: &Value,
    schema: &Value,
    value: &Value,
    at: &str,
    wrong: &mut Vec<String>,
) {
    if let Some(name) = schema["$ref"].as_str() {
        let name = name.trim_start_matches("#/components/schemas/");
        return fits(whole, &whole["components"]["schemas"][name], value, at, wrong);
    }
    for list in ["anyOf", "oneOf"] {
        if let Some(kinds) = schema[list].as_array() {
            let one = kinds.iter().any(|kind| {
                let mut none = Vec::new();
                fits(whole, kind, value, at, &mut none);
                none.is_empty()
            });
            if !one {
                wrong.push(format!("{at}: {value} is none of {list}"));
            }
        }
    }
    if let Some(constant) = schema.get("const")
        && constant != value
    {
        wrong.push(format!("{at}: {value} instead of {constant}"));
    }
    let is = |name: &str| match name {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "null" => value.is_null(),
        "integer" => value.is_i64() || value.is_u64(),
        _ => value.is_number(),
    };
    let typed = match &schema["type"] {
        Value::String(name) => is(name),
        Value::Array(names) => names.iter().filter_map(Value::as_str).any(is),
        _ => true,
    };
    if !typed {
        wrong.push(format!("{at}: {value} is no {}", schema["type"]));
    }
    if let (Some(fields), Some(known)) = (value.as_object(), schema["properties"].as_object()) {
        for name in schema["required"].as_array().into_iter().flatten().filter_map(Value::as_str) {
            if !fields.contains_key(name) {
                wrong.push(format!("{at}: no {name}"));
            }
        }
        for (name, field) in fields {
            match known.get(name) {
                Some(inner) => fits(whole, inner, field, &format!("{at}.{name}"), wrong),
                None => wrong.push(format!("{at}: {name} is not described")),
            }
        }
    }
    if let (Some(items), true) = (value.as_array(), schema["items"].is_object()) {
        for (number, item) in items.iter().enumerate() {
            fits(whole, &schema["items"], item, &format!("{at}[{number}]"), wrong);
        }
    }
}
