// Humid air by the ASHRAE formulation (Hyland and Wexler), to check another formulation against.
import psychrolib from 'psychrolib';
import { writeTable } from './table.mjs';

psychrolib.SetUnitSystem(psychrolib.SI);

const saturation = [];
for (let t = -60; t <= 50; t += 2.5) {
  if (t === 0) continue; // ice and water meet here
  saturation.push([t, t < 0 ? 'ice' : 'water', (psychrolib.GetSatVapPres(t) / 100).toPrecision(8)]);
}
writeTable('saturation.csv', 'psychrolib', ['temperature_c', 'over', 'saturation_hpa'], saturation);

// Above freezing only: below it the library means humidity over ice, we mean it over water.
const air = [];
for (const pressureHPa of [1013.25, 850, 700]) {
  for (let t = 0.5; t <= 45; t += 4.45) {
    for (const rh of [10, 35, 60, 80, 95, 100]) {
      const pa = pressureHPa * 100;
      const vapour = psychrolib.GetVapPresFromRelHum(t, rh / 100);
      const dew = psychrolib.GetTDewPointFromRelHum(t, rh / 100);
      const ratio = psychrolib.GetHumRatioFromRelHum(t, rh / 100, pa);
      const density = psychrolib.GetMoistAirDensity(t, ratio, pa);
      air.push([
        t.toFixed(2), rh, pressureHPa, (vapour / 100).toFixed(5), dew.toFixed(4), density.toFixed(6),
      ]);
    }
  }
}
writeTable(
  'humid-air.csv',
  'psychrolib',
  ['temperature_c', 'rh_percent', 'pressure_hpa', 'vapour_hpa', 'dew_point_c', 'density_kg_m3'],
  air,
);
