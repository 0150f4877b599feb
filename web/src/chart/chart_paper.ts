import ImageLayer from "ol/layer/Image";
import ImageCanvas from "ol/source/ImageCanvas";
import type { RasterDocument } from "../api/generated";
import type { AboutDocument, ChartDocument, RibbonDocument } from "../api/pictures";
import type { ChartPlace } from "../flight/address";
import { picture_of, type RasterInks } from "../layers/raster_image";
import { ChartMap } from "./chart_map";
import type { Overlay } from "./overlay";
import type { Inks } from "./symbols";

export interface PaperSize {
  readonly width_px: number;
  readonly height_px: number;
}

export interface DrawnForPaper {
  readonly canvas: HTMLCanvasElement;
  readonly inks: RasterInks;
}

/** The chart for paper, with the rasters that lie on it for their legend. */
export interface ChartPaper {
  readonly rasters: readonly RasterDocument[];
  readonly draw: (size: PaperSize) => DrawnForPaper;
}

interface Shown {
  readonly region: NonNullable<AboutDocument["chart"]>;
  readonly chart: ChartDocument | null;
  readonly ribbon: RibbonDocument | null;
  readonly overlay: Overlay;
  readonly fitted_to: "flight" | "overlay";
  readonly picked: number | null;
  readonly rasters: readonly RasterDocument[];
  /** Where it stands, and how many pixels of that are seen across; null about the flight. */
  readonly stands: (ChartPlace & { readonly seen_px: number }) | null;
}

/** Dots of a printer to a pixel of the page: 240 to the inch. */
const paper_ratio = 2.5;

/** The inks of an element as the style sheet has them now. */
export function inks_of(element: Element): Inks {
  const style = getComputedStyle(element);
  const ink = (name: string) => style.getPropertyValue(name).trim();
  return { paper: ink("--paper"), ink: ink("--ink"), soft: ink("--soft"), faint: ink("--faint"), land: ink("--land"), shore: ink("--shore") };
}

/** A raster as it was last told, without asking: what is printed cannot wait. */
function raster_layer(raster: RasterDocument, inks: RasterInks): ImageLayer<ImageCanvas> {
  const picture = picture_of(raster, inks);
  const wide = (raster.rows[0]?.length ?? 0) * raster.cell_deg;
  const high = raster.rows.length * raster.cell_deg;
  const canvasFunction = (extent: number[], _resolution: number, _ratio: number, size: number[]) => {
    const [west = 0, south = 0, east = 0, north = 0] = extent;
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [Math.ceil(size[0] ?? 0), Math.ceil(size[1] ?? 0)];
    const [px_per_east, px_per_south] = [canvas.width / (east - west), canvas.height / (north - south)];
    // Of the turns about the Earth the one on which it is seen.
    const from = raster.west_deg + 360 * Math.round((west - raster.west_deg) / 360);
    canvas.getContext("2d")?.drawImage(picture, (from - west) * px_per_east, (north - raster.south_deg - high) * px_per_south, wide * px_per_east, high * px_per_south);
    return canvas;
  };
  return new ImageLayer({ source: new ImageCanvas({ canvasFunction, projection: "EPSG:4326", ratio: 1 }) });
}

/** Draws the chart at once in black on white, as large as the paper has room for; the chart that is looked at stays as it is. */
export function drawn_for_paper(shown: Shown, size: PaperSize): DrawnForPaper {
  const { region, chart, ribbon, overlay, fitted_to, picked, rasters, stands } = shown;
  const frame = document.createElement("div");
  frame.className = "paper-frame paper-inks";
  frame.style.width = `${size.width_px}px`;
  frame.style.height = `${size.height_px}px`;
  document.body.append(frame);
  const inks = inks_of(frame);
  const raster_inks = { ink: inks.ink, soft: inks.soft, paper: inks.paper, light: "#ffffff", shade: "#5d5d5d" };
  const map = new ChartMap(frame, region, inks, () => {}, () => {}, { pixelRatio: paper_ratio });
  for (const raster of rasters) map.put_below(raster_layer(raster, raster_inks));
  if (chart) map.show_chart(chart);
  if (ribbon) map.show_flight(ribbon, true);
  else map.show_all_of([]);
  map.pick(picked);
  map.show_overlay(overlay);
  if (fitted_to === "overlay") map.whole_overlay();
  // The same ground across as is seen.
  if (stands) map.stand_at({ ...stands, metres_a_pixel: (stands.metres_a_pixel * stands.seen_px) / size.width_px });
  const canvas = map.picture();
  map.close();
  frame.remove();
  return { canvas, inks: raster_inks };
}
