// Compares the engine's humid air (CSV on stdin, see humid_air_rows.cpp) with psychrolib, an independent open-source
// implementation of ASHRAE Fundamentals 2017 ch. 1. Prints the worst relative deviations; exit 1 beyond the tolerance,
// exit 77 (skipped) where psychrolib is not installed.
//   node check.mjs DIRECTORY...      directories to look for node_modules/psychrolib in
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { resolve } from "node:path";

const skipped = 77;

// p_v and W: the same formula, so rounding and the sixth digit of 0.621945. rho: 287.042 and 1.607858 are rounded too.
// h: psychrolib takes 1006 and 1860 J/(kg K) at every temperature; relative to |h| + 10 kJ/kg, since h passes zero.
const tolerance = { p_v: 1e-9, W: 1e-6, rho: 2e-6, h: 3e-3 };

function load(directories) {
  for (const directory of directories) {
    try {
      return createRequire(resolve(directory, "package.json"))("psychrolib");
    } catch (problem) {
      if (problem.code !== "MODULE_NOT_FOUND") throw problem;
    }
  }
  console.log(`skipped: psychrolib is not installed; run 'npm ci' in ${directories[0]}`);
  process.exit(skipped);
}

function reference(psychrolib, { t, rh, p }) {
  const W = psychrolib.GetHumRatioFromRelHum(t, rh, p);
  return {
    p_v: psychrolib.GetVapPresFromRelHum(t, rh),
    W,
    rho: psychrolib.GetMoistAirDensity(t, W, p),
    h: psychrolib.GetMoistAirEnthalpy(t, W),
  };
}

function parse(text) {
  const [header, ...lines] = text.trim().split("\n");
  const names = header.split(",");
  return lines.map((line) => {
    const numbers = line.split(",").map(Number);
    if (numbers.length !== names.length || !numbers.every(Number.isFinite)) throw new Error(`bad row: ${line}`);
    return Object.fromEntries(names.map((name, i) => [name, numbers[i]]));
  });
}

const psychrolib = load(process.argv.slice(2));
psychrolib.SetUnitSystem(psychrolib.SI);
const rows = parse(readFileSync(0, "utf8"));
if (rows.length < 100) throw new Error(`only ${rows.length} rows arrived`);

const worst = Object.fromEntries(Object.keys(tolerance).map((name) => [name, { deviation: 0 }]));
for (const row of rows) {
  const wanted = reference(psychrolib, row);
  for (const name of Object.keys(tolerance)) {
    const scale = Math.abs(wanted[name]) + (name === "h" ? 1e4 : 0);
    const deviation = Math.abs(row[name] - wanted[name]) / scale;
    if (!(deviation <= worst[name].deviation)) worst[name] = { deviation, row, wanted: wanted[name] };
  }
}

let failed = false;
console.log(`${rows.length} states`);
for (const [name, { deviation, row, wanted }] of Object.entries(worst)) {
  const good = deviation <= tolerance[name];
  failed ||= !good;
  const where = row ? ` at ${row.t} degC, rh ${row.rh}, ${row.p} Pa: ${row[name]} against ${wanted}` : "";
  console.log(`${good ? "ok  " : "FAIL"} ${name} ${deviation.toExponential(2)} (<= ${tolerance[name]})${where}`);
}
process.exit(failed ? 1 : 0);
