import type { RasterDocument } from "../api/generated";

/** With what a raster is drawn. */
export interface RasterInks {
  readonly ink: string;
  readonly soft: string;
  readonly paper: string;
  /** Where the light falls on the ground. */
  readonly light: string;
  /** What lies in the shade. */
  readonly shade: string;
}

type Class = RasterDocument["classes"][number];

/** Pixels to a side of a cell: room for a hatch that is told without colour. */
export const cell_px = 6;
/** How dark flat ground is under a light half way up: neither lit nor shaded. */
const flat_share = 1 - Math.SQRT1_2;

export type Hatch = "none" | "lines" | "crossed" | "dots";

/** The pattern of a class: what is worst is crossed, what is next to it has lines, what is not known dots. */
export function hatch_of(what: RasterDocument["what"], one: Class): Hatch {
  if (one.sign === "?") return "dots";
  if (what === "terrain") return "none";
  if (one.ink_share >= 1) return "crossed";
  return one.ink_share >= 0.75 ? "lines" : "none";
}

function put_hatch(context: CanvasRenderingContext2D, hatch: Hatch, x: number, y: number, side: number): void {
  const line = (x1: number, y1: number, x2: number, y2: number) => {
    context.beginPath();
    context.moveTo(x + x1, y + y1);
    context.lineTo(x + x2, y + y2);
    context.stroke();
  };
  if (hatch === "lines" || hatch === "crossed") line(0, side, side, 0);
  if (hatch === "crossed") line(0, 0, side, side);
  if (hatch === "dots") context.fillRect(x + side / 2 - 1, y + side / 2 - 1, 1.6, 1.6);
}

/** Draws one cell, or a swatch of the legend. */
export function put_cell(context: CanvasRenderingContext2D, what: RasterDocument["what"], one: Class, inks: RasterInks, x: number, y: number, side: number): void {
  if (one.sign !== "?" && one.sign !== "~") {
    if (what === "terrain") {
      const shaded = one.ink_share - flat_share;
      context.globalAlpha = Math.min(shaded > 0 ? shaded * 1.5 : -shaded * 2, 0.8);
      context.fillStyle = shaded > 0 ? inks.shade : inks.light;
    } else {
      context.globalAlpha = one.ink_share * 0.4;
      context.fillStyle = inks.ink;
    }
    context.fillRect(x, y, side, side);
  }
  context.globalAlpha = one.sign === "?" ? 0.75 : 0.55;
  context.fillStyle = inks.soft;
  context.strokeStyle = inks.ink;
  context.lineWidth = 0.8;
  put_hatch(context, hatch_of(what, one), x, y, side);
  context.globalAlpha = 1;
}

/** The whole raster as a picture, `cell_px` to a cell. */
export function picture_of(raster: RasterDocument, inks: RasterInks): HTMLCanvasElement {
  const canvas = document.createElement("canvas");
  canvas.width = cell_px * (raster.rows[0]?.length ?? 0);
  canvas.height = cell_px * raster.rows.length;
  const context = canvas.getContext("2d");
  const classes = new Map(raster.classes.map((one) => [one.sign, one]));
  raster.rows.forEach((row, y) => {
    for (let x = 0; x < row.length; ++x) {
      const one = classes.get(row[x]!);
      if (one && context) put_cell(context, raster.what, one, inks, x * cell_px, y * cell_px, cell_px);
    }
  });
  return canvas;
}

/** The classes that are seen somewhere, in the order in which they are told. */
export function classes_seen(raster: RasterDocument): Class[] {
  const seen = new Set(raster.rows.flatMap((row) => [...row]));
  return raster.classes.filter((one) => seen.has(one.sign));
}
