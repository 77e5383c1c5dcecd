// The sun by a full planetary theory (truncated VSOP87): topocentric place without refraction, and rise and set of its
// centre at 0.833 degrees below the level horizon.
import { AstroTime, Body, Equator, Horizon, Observer, SearchAltitude, SearchHourAngle } from 'astronomy-engine';
import { writeTable } from './table.mjs';

const places = [
  ['America/Phoenix', 33.45, -112.07],
  ['America/New_York', 42.36, -71.06],
  ['America/Anchorage', 61.22, -149.9],
  ['America/Anchorage', 71.29, -156.79],
  ['Pacific/Honolulu', 21.31, -157.86],
  ['Pacific/Guam', 13.44, 144.79],
  ['Australia/Sydney', -33.87, 151.21],
];

const positions = [];
let moment = Date.UTC(1998, 0, 3, 0, 17);
for (let i = 0; i < 140; i++) {
  const [, lat, lon] = places[i % places.length];
  const date = new Date(moment);
  const observer = new Observer(lat, lon, 0);
  const eq = Equator(Body.Sun, date, observer, true, true);
  const hor = Horizon(date, observer, eq.ra, eq.dec);
  positions.push([
    date.toISOString().slice(0, 19) + 'Z', lat, lon,
    hor.altitude.toFixed(5), hor.azimuth.toFixed(5), eq.dec.toFixed(5), eq.dist.toFixed(7),
  ]);
  moment += 1000 * 60 * (60 * 24 * 103 + 60 * 5 + 41); // some 39 years in strides that visit every season and hour
}
writeTable(
  'sun-positions.csv',
  'astronomy-engine',
  ['utc', 'latitude', 'longitude', 'elevation_deg', 'azimuth_deg', 'declination_deg', 'distance_au'],
  positions,
);

const days = [];
for (const [zone, lat, lon] of places) {
  const observer = new Observer(lat, lon, 0);
  for (const day of ['2024-02-29', '2026-01-05', '2026-03-20', '2026-04-28', '2026-06-21', '2026-08-11', '2026-11-01', '2026-12-21']) {
    const start = new Date(Date.parse(day + 'T12:00:00Z') - (lon / 15 + 6) * 3600e3);
    const noon = SearchHourAngle(Body.Sun, observer, 0, start).time.date;
    const sought = (direction, from, span) =>
      SearchAltitude(Body.Sun, observer, direction, new AstroTime(from), span, -0.833)?.date.toISOString().slice(0, 19) ?? '';
    days.push([
      zone, lat, lon, day,
      sought(+1, new Date(noon.getTime() - 12 * 3600e3), 0.5),
      noon.toISOString().slice(0, 19),
      sought(-1, noon, 0.5),
    ]);
  }
}
writeTable(
  'sun-times.csv',
  'astronomy-engine',
  ['zone', 'latitude', 'longitude', 'local_date', 'sunrise_utc', 'solar_noon_utc', 'sunset_utc'],
  days,
);
