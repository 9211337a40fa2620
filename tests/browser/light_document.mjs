// A document as GET /api/lights/{id} gives it, of an invented light whose values are known in closed form: what the
// pictures must show can then be worked out beside them.

const pixels = 81;
const mmPerPixel = 0.15;
const half = ((pixels - 1) / 2) * mmPerPixel;

/** Irradiance at the tip [mW/cm2]: a broad spot off the middle, cut at the tip's edge. */
function irradiance(x, y) {
  const spot = 1400 * Math.exp(-((x - 0.6) ** 2 + (y + 0.3) ** 2) / (2 * 2.4 ** 2));
  return spot / (1 + Math.exp((Math.hypot(x, y) - 4) / 0.12));
}

/** On the axis [mW/cm2]; 41.0 % of the tip's value is left at 8 mm. */
export const onAxis = (mm) => 1080 / (1 + (mm / 8) ** 2 * (1 / 0.41 - 1));

const range = (count, value) => Array.from({ length: count }, (_, i) => value(i));

export const light = {
  id: "demo-light",
  name: "Demo light, blue and violet",
  tip_diameter_mm: 8,
  power_mw: { value: 503, low: 450, high: 556 },
  exitance_mw_cm2: { value: 1000, low: 895, high: 1106 },
  shares: { below_385: 0.004, from_385_to_515: 0.996, above_515: 0 },
  map: {
    columns: pixels,
    rows: pixels,
    mm_per_pixel: mmPerPixel,
    left_mm: -half,
    top_mm: -half,
    irradiance_mw_cm2: range(pixels * pixels, (i) =>
      irradiance(-half + (i % pixels) * mmPerPixel, -half + Math.floor(i / pixels) * mmPerPixel),
    ),
  },
  beam: [{ name: "Beam diameter, longer", value: 7.32, unit: "mm", source: "ISO 11146-1 (standard)" }],
  spectrum: {
    wavelength_nm: range(181, (i) => 360 + i),
    power_mw_per_nm: range(
      181,
      (i) => 14 * Math.exp(-((360 + i - 458) ** 2) / 220) + 5 * Math.exp(-((360 + i - 405) ** 2) / 60),
    ),
  },
  distance: {
    aperture_mm: 4,
    mm: range(61, (i) => i * 0.2),
    irradiance_mw_cm2: range(61, (i) => onAxis(i * 0.2)),
    measured: [0, 2, 4, 6, 8, 10].map((mm) => ({ mm, irradiance_mw_cm2: onAxis(mm) * (1 + 0.03 * Math.sin(3 * mm)) })),
  },
};

export const rows = [
  {
    id: light.id,
    name: light.name,
    tip_diameter_mm: 8,
    exitance_mw_cm2: light.exitance_mw_cm2,
    problems: [],
  },
  { id: "old", name: "old", problems: ["old.toml:3: tip.diameter_mm: -8 is below the least allowed, 0.5 mm."] },
];
