// The two ramps, even to the eye: light from ink to white in one blue hue, conversion from pale straw to deep teal.
// Source of the colour space: Ottosson 2020, "A perceptual color space for image processing" (published).

const hue = (262 * Math.PI) / 180;
const darkest = 0.22;
const most_chroma = 0.075;

/** The colour of a share [0..1] of the brightest: "#rrggbb". */
export function light(share: number): string {
  const s = Math.min(1, Math.max(0, share));
  const lightness = darkest + (1 - darkest) * s;
  // Colour in the middle, none at the white end.
  const chroma = most_chroma * Math.sin(Math.PI * Math.min(1, 0.25 + 0.75 * s));
  return hex(oklab(lightness, chroma * Math.cos(hue), chroma * Math.sin(hue)));
}

/** How far resin has set, from unset (0) to set (1): the ramp of the server's drawings. "#rrggbb". */
export function conversion(share: number): string {
  const s = Math.min(1, Math.max(0, share));
  const ends = [
    [0.93, 0.08, 98],
    [0.37, 0.06, 200],
  ].map(([lightness = 0, chroma = 0, deg = 0]) => {
    const turn = (deg * Math.PI) / 180;
    return [lightness, chroma * Math.cos(turn), chroma * Math.sin(turn)] as const;
  });
  const at = (axis: 0 | 1 | 2): number => (1 - s) * (ends[0]?.[axis] ?? 0) + s * (ends[1]?.[axis] ?? 0);
  return hex(oklab(at(0), at(1), at(2)));
}

/** Linear red, green, blue of an OKLab colour. */
function oklab(l: number, a: number, b: number): [number, number, number] {
  const long = (l + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const middle = (l - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const shorter = (l - 0.0894841775 * a - 1.291485548 * b) ** 3;
  return [
    4.0767416621 * long - 3.3077115913 * middle + 0.2309699292 * shorter,
    -1.2684380046 * long + 2.6097574011 * middle - 0.3413193965 * shorter,
    -0.0041960863 * long - 0.7034186147 * middle + 1.707614701 * shorter,
  ];
}

function hex(linear: [number, number, number]): string {
  const byte = (value: number): string => {
    const v = Math.min(1, Math.max(0, value));
    const encoded = v <= 0.0031308 ? 12.92 * v : 1.055 * v ** (1 / 2.4) - 0.055;
    return Math.round(encoded * 255)
      .toString(16)
      .padStart(2, "0");
  };
  return `#${linear.map(byte).join("")}`;
}

/** The OKLab lightness [0..1] of "#rrggbb": how bright it looks. */
export function lightnessOf(colour: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((from) => {
    const v = Number.parseInt(colour.slice(from, from + 2), 16) / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  });
  const long = Math.cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const middle = Math.cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const shorter = Math.cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  return 0.2104542553 * long + 0.793617785 * middle - 0.0040720468 * shorter;
}
