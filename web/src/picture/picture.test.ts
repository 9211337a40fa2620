import { render } from "svelte/server";
import { describe, expect, it } from "vitest";
import Picture from "./Picture.svelte";
import { PictureProblem, path, picture } from "./picture";

const sent = {
  width: 100,
  height: 50,
  paper: "#fbfaf6",
  description: "A tooth.",
  marks: [
    { kind: "polygon", rings: [[0, 0, 10, 0, 10, 10]], colour: "#ffffff80" },
    {
      kind: "raster",
      x: 1,
      y: 2,
      width: 3,
      height: 4,
      png: "data:image/png;base64,iVBORw==",
      clip: [0, 0, 9, 0, 9, 9],
    },
    { kind: "stroke", line: [1, 2, 3, 4.5], width: 0.3, colour: "#1d1f24", closed: true, dashes: [1, 2] },
    {
      kind: "shading",
      clip: [[0, 0, 9, 0, 9, 9]],
      areas: [{ rings: [[1, 1, 2, 1, 2, 2]], colour: "#0b4a4b" }],
    },
    {
      kind: "text",
      x: 5,
      y: 6,
      words: "enamel <1>",
      size: 3.3,
      colour: "#1d1f24",
      align: "middle",
      turn: -90,
      halo: "#ffffff",
    },
  ],
};

/** What came of a picture with one mark changed. */
function problem(change: object, at = 2): string {
  const marks = sent.marks.map((mark, i) => (i === at ? { ...mark, ...change } : mark));
  try {
    picture({ ...sent, marks });
  } catch (error) {
    expect(error).toBeInstanceOf(PictureProblem);
    return (error as Error).message;
  }
  return "";
}

describe("a picture from the server", () => {
  it("is taken as it was sent", () => {
    expect(picture(sent)).toEqual(sent);
    expect(picture({ ...sent, marks: [], more: 1 })).toEqual({ ...sent, marks: [] });
  });
  it("is refused with the place and what it should be", () => {
    expect(() => picture([])).toThrow("the picture should be an object");
    expect(problem({ line: [1, 2, 3] })).toBe("marks[2].line should be pairs of x and y");
    expect(problem({ line: [1, "2"] })).toBe("marks[2].line[1] should be a number");
    expect(problem({ width: -1 })).toBe("marks[2].width should be 0 or more");
    expect(problem({ colour: "red" })).toBe("marks[2].colour should be a colour such as #1d1f24");
    expect(problem({ areas: [{ rings: [[1]], colour: "#000000" }] }, 3)).toBe(
      "marks[3].areas[0].rings[0] should be pairs of x and y",
    );
    expect(problem({ kind: "script" })).toBe(
      "marks[2].kind should be stroke, polygon, raster, shading or text",
    );
    expect(problem({ align: "left" }, 4)).toBe("marks[4].align should be start, middle or end");
  });
  it("takes no image from elsewhere", () => {
    expect(problem({ png: "//elsewhere/a.png" }, 1)).toContain("marks[1].png should be a PNG");
    expect(problem({ png: "data:image/svg+xml;base64,AAAA" }, 1)).toContain("marks[1].png should be a PNG");
  });
});

describe("a path", () => {
  it("goes along its places and closes", () => {
    expect(path([1, 2, 3, 4.5])).toBe("M1 2L3 4.5");
    expect(path([1, 2, 3, 4.5, 0, 0], true)).toBe("M1 2L3 4.5L0 0Z");
    expect(path([], true)).toBe("");
  });
});

describe("the painted picture", () => {
  const { body } = render(Picture, { props: { picture: picture(sent) } });
  it("says what it shows and keeps words as words", () => {
    expect(body).toContain('role="img"');
    expect(body).toContain('aria-label="A tooth."');
    expect(body).toMatch(/<text[^>]*rotate\(-90 5 6\)[^>]*>enamel &lt;1>?/);
  });
  it("paints in the order of the list, rasters within their clip", () => {
    const order = ["evenodd", "<clipPath", "<image", "stroke-dasharray", "<text"].map((part) =>
      body.indexOf(part),
    );
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(order[0]).toBeGreaterThan(0);
    const clip = /<clipPath id="([^"]+)"/.exec(body)?.[1] ?? "none";
    expect(body).toContain(`clip-path="url(#${clip})"`);
    expect(body).toMatch(/<g clip-path="url\(#[^"]+\)" fill-rule="evenodd">.*#0b4a4b/s);
  });
});
