// Saving what is on the screen: a plot as an SVG file that stands by itself, a table as CSV.

/** The drawn properties that a stylesheet gave, written into the file instead. */
const drawn = [
  "fill",
  "fill-opacity",
  "stroke",
  "stroke-width",
  "stroke-dasharray",
  "stroke-opacity",
  "stroke-linecap",
  "stroke-linejoin",
  "paint-order",
  "font-family",
  "font-size",
  "font-weight",
  "text-anchor",
  "dominant-baseline",
] as const;

/** The plot as text of an SVG file, in the colours it has now, on the page's paper. */
export function svgFile(plot: SVGSVGElement): string {
  const copy = plot.cloneNode(true) as SVGSVGElement;
  const from = [plot, ...plot.querySelectorAll("*")];
  const to = [copy, ...copy.querySelectorAll("*")];
  from.forEach((element, i) => {
    const style = getComputedStyle(element);
    for (const name of drawn) to[i]?.setAttribute(name, style.getPropertyValue(name));
    to[i]?.removeAttribute("class");
  });
  const { width, height } = plot.viewBox.baseVal;
  copy.setAttribute("xmlns", "http://www.w3.org/2000/svg");
  copy.setAttribute("width", String(width));
  copy.setAttribute("height", String(height));
  const paper = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  paper.setAttribute("width", "100%");
  paper.setAttribute("height", "100%");
  paper.setAttribute("fill", getComputedStyle(document.body).backgroundColor);
  copy.prepend(paper);
  return `<?xml version="1.0" encoding="UTF-8"?>\n${new XMLSerializer().serializeToString(copy)}\n`;
}

/** Hands a text to the browser as a file to keep. */
export function save(name: string, type: string, text: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/** A name that any system takes for a file: "Ward lamp 2" -> "ward-lamp-2". */
export function fileName(...parts: string[]): string {
  const words = parts
    .join("-")
    .toLowerCase()
    .normalize("NFKD")
    .replace(/[^a-z0-9]+/g, "-");
  return words.replace(/^-+|-+$/g, "") || "throughcure";
}
