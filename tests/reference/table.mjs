// Writes one CSV table: a comment line with the libraries and versions, a header, rows.
import { readFileSync, writeFileSync } from 'node:fs';

const data = new URL('../TurfWatch.Core.Tests/Data/', import.meta.url);

export function writeTable(file, library, header, rows) {
  const manifest = new URL(`node_modules/${library}/package.json`, import.meta.url);
  const { version, license } = JSON.parse(readFileSync(manifest, 'utf8'));
  const lines = [
    `# computed with ${library} ${version} (npm, licence ${license}) by tests/reference; do not edit`,
    header.join(','),
    ...rows.map((row) => row.join(',')),
  ];
  writeFileSync(new URL(file, data), lines.join('\n') + '\n');
  console.log(`${file}: ${rows.length} rows`);
}
