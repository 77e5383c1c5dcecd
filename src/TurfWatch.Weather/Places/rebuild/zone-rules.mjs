// Reads zones.txt: state, county and ZIP lines, the most particular one winning.
import { readFileSync } from "node:fs";

export function readZoneRules(url) {
    const states = new Map();
    const counties = new Map();
    const zips = new Map();
    for (const [index, raw] of readFileSync(url, "utf8").split("\n").entries()) {
        const line = raw.replace(/#.*$/, "").trim();
        if (!line) continue;
        const match = /^([A-Z]{2})\s+(\S+)(?:\s*([:=])\s*(.+))?$/.exec(line);
        if (!match) throw new Error(`zones.txt line ${index + 1}: cannot read '${line}'`);
        const [, state, zone, kind, list] = match;
        new Intl.DateTimeFormat("en", { timeZone: zone }); // throws on an unknown zone
        if (!kind) states.set(state, zone);
        else if (kind === ":") for (const county of list.split(",")) counties.set(`${state} ${plain(county)}`, zone);
        else for (const zip of list.trim().split(/\s+/)) zips.set(zip, { zone, state });
    }

    const used = new Set();
    return {
        zoneOf({ zip, state, county }) {
            if (zips.has(zip)) {
                if (zips.get(zip).state !== state) throw new Error(`zones.txt: ${zip} is in ${state}, not ${zips.get(zip).state}`);
                used.add(zip);
                return zips.get(zip).zone;
            }
            const key = `${state} ${plain(county)}`;
            if (counties.has(key)) {
                used.add(key);
                return counties.get(key);
            }
            if (!states.has(state)) throw new Error(`zones.txt: no line for state ${state} (${zip})`);
            return states.get(state);
        },
        reportUnused() {
            for (const key of [...zips.keys(), ...counties.keys()]) if (!used.has(key)) console.log(`zones.txt: nothing matches ${key}`);
        },
    };
}

const plain = (county) => county.trim().toLowerCase().replace(/ county$/, "").replace(/[^a-z]/g, "");
