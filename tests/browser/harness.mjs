// What all browser tests share: the program, a browser, and what may be asked of a page.
//
// Environment: PULLCAST_PROGRAM, the built program; PULLCAST_SOURCE, the repository; PULLCAST_PICTURES, a folder for
// screenshots (default: none are kept).
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";

export const browserProgram = "/usr/bin/chromium";
const program = process.env.PULLCAST_PROGRAM;
export const source = process.env.PULLCAST_SOURCE;
const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

export const study = (name) => `${source}/scenarios/studies/${name}.toml`;

/// A folder that is gone when the process ends.
export function temporaryFolder() {
    const folder = mkdtempSync(join(tmpdir(), "pullcast-browser-"));
    process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
    return folder;
}

/// Runs the program to its end.
export function pullcast(...options) {
    const run = spawnSync(program, options, { encoding: "utf8" });
    return { status: run.status, out: run.stdout, err: run.stderr };
}

/// Runs a study; where its report is, and what its summary says.
export function reportOf(file) {
    const folder = join(temporaryFolder(), "results");
    const run = pullcast("run", file, "--out", folder);
    return { run, folder, file: join(folder, "report.html"), summary: JSON.parse(readFileSync(join(folder, "summary.json"), "utf8")) };
}

/// Brings the measured pulls of a study together; where its page is, and the numbers.
export function matchOf(file) {
    const folder = join(temporaryFolder(), "results");
    const run = pullcast("match", file, "--out", folder);
    return { run, file: join(folder, "measured.html"), numbers: JSON.parse(readFileSync(join(folder, "measured.json"), "utf8")) };
}

/// Runs a session; where its page is, and the numbers.
export function dayOf(file, ...options) {
    const folder = join(temporaryFolder(), "results");
    const run = pullcast("session", file, "--out", folder, ...options);
    return { run, file: join(folder, "report.html"), day: JSON.parse(readFileSync(join(folder, "session.json"), "utf8")) };
}

/// Runs all combinations of a study; where its page is, and the numbers.
export function choiceOf(file, ...options) {
    const folder = join(temporaryFolder(), "results");
    const run = pullcast("choose", file, "--out", folder, ...options);
    return { run, file: join(folder, "report.html"), choice: JSON.parse(readFileSync(join(folder, "choice.json"), "utf8")) };
}

/// A study of the shipped rig, written beside nothing else.
export function writeStudy(text) {
    const file = join(temporaryFolder(), "study.toml");
    writeFileSync(file, text.replace("RIG", `${source}/scenarios/rigs/hillclimb-v6.toml`));
    return file;
}

/// Starts the live page of a study; `url` to open, `stop()` to end it.
export async function live(file) {
    const child = spawn(program, ["live", file], { stdio: ["ignore", "pipe", "pipe"] });
    process.on("exit", () => child.kill("SIGKILL"));
    const url = await new Promise((resolve, reject) => {
        let text = "", complaints = "";
        child.stderr.on("data", (data) => (complaints += data));
        child.stdout.on("data", (data) => (text += data).includes("\n") && resolve(text.trim()));
        child.on("exit", (code) => reject(new Error(`pullcast live ended with ${code}: ${complaints}`)));
    });
    const ended = new Promise((resolve) => child.on("exit", resolve));
    return { url, stop: () => (child.kill("SIGINT"), ended) };
}

let browser = null;
export async function openBrowser() {
    browser ??= await chromium.launch({
        executablePath: browserProgram,
        args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
            "--disable-component-update", "--disable-sync"],
    });
    return browser;
}
export async function closeBrowser() {
    await browser?.close();
    browser = null;
}

/// A page in a window of its own that notes what went wrong on it and which addresses it asked for.
export async function openPage(address, { width = 1280, height = 900, colorScheme = "light" } = {}) {
    const context = await (await openBrowser()).newContext({ viewport: { width, height }, colorScheme, acceptDownloads: true });
    const page = await context.newPage();
    const noted = { errors: [], requests: [] };
    page.on("pageerror", (error) => noted.errors.push(String(error)));
    page.on("console", (message) => message.type() === "error" && noted.errors.push(message.text()));
    page.on("request", (request) => noted.requests.push(request.url()));
    await page.goto(address.startsWith("http") ? address : `file://${address}`);
    return Object.assign(page, { noted });
}

/// What is wrong for readers who cannot see or point, one line a finding.
export async function accessibilityFindings(page) {
    await page.evaluate(axeSource);
    const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
    return found.violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target} ${n.failureSummary}`));
}

/// Keeps a picture to be looked at, where the environment asks for it.
export async function picture(page, name, options = {}) {
    const folder = process.env.PULLCAST_PICTURES;
    if (!folder) return;
    mkdirSync(folder, { recursive: true });
    await page.screenshot({ path: join(folder, `${name}.png`), ...options });
}

/// Whether any part of the page is wider than its window.
export const overflows = (page) => page.evaluate(() => document.scrollingElement.scrollWidth > document.scrollingElement.clientWidth);

/// "−4.1" as it is shown, as a number.
export const numberOf = (text) => Number(text.replace("−", "-").replace("+", ""));

/// Shown units in SI, exact where NIST SP 811 (2008), appendix B.8 is: shown = si / per + zero.
const g = 9.80665, lb = 0.45359237, inch = 0.0254, Btu = 1055.05585262;
export const shownUnits = {
    kW: [1e3], hp: [550 * 12 * inch * lb * g], rpm: [Math.PI / 30], "N m": [1], "lb ft": [12 * inch * lb * g], s: [1],
    kPa: [1e3], psi: [(lb * g) / inch ** 2], "g/s": [1e-3], "lb/min": [lb / 60], "°C": [1, -273.15], "°F": [1 / 1.8, -459.67], K: [1],
    "%": [0.01], "L/min": [1e-3 / 60], "gal/min": [(231 * inch ** 3) / 60], deg: [Math.PI / 180], kJ: [1e3], Btu: [Btu], "": [1],
};
export function shown(si, unit) {
    const [per, zero = 0] = shownUnits[unit.replaceAll("\u00a0", " ")];
    return si / per + zero;
}
