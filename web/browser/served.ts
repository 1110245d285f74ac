/** The real program with the demo in its record, and a real browser. */

import { execFileSync, spawn, type ChildProcess } from "node:child_process";
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

import { chromium, type Browser } from "playwright-core";

const root = join(dirname(fileURLToPath(import.meta.url)), "../..");

export interface Served {
  page: string;
  job: string;
  browser: Browser;
  end(): Promise<void>;
}

function browserPath(): string {
  const asked = process.env["TOOTH_CHROMIUM"];
  const usual = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];
  const found = asked ?? usual.find((path) => existsSync(path));
  if (found === undefined) {
    throw new Error("no Chromium found: install it, or name it in TOOTH_CHROMIUM");
  }
  return found;
}

export async function served(): Promise<Served> {
  const tooth = process.env["TOOTH_BIN"] ?? join(root, "target/debug/tooth");
  const data = mkdtempSync(join(tmpdir(), "tooth-page-"));
  const said = execFileSync(tooth, ["--data", data, "import", join(root, "demo"), "--json"], {
    encoding: "utf8",
  });
  const job = String((JSON.parse(said) as { job: string }).job);
  const program: ChildProcess = spawn(tooth, ["--data", data, "serve", "--port", "0", "--json"], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  const page = await new Promise<string>((found, failed) => {
    program.stdout?.once("data", (line: Buffer) => {
      found((JSON.parse(line.toString()) as { page: string }).page.replace(/\/$/, ""));
    });
    program.once("exit", (code) => failed(new Error(`tooth serve ended with ${code}`)));
  });
  const browser = await chromium.launch({
    executablePath: browserPath(),
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
  return {
    page,
    job,
    browser,
    async end() {
      await browser.close();
      program.kill();
      rmSync(data, { recursive: true, force: true });
    },
  };
}
