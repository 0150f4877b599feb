import ImageLayer from "ol/layer/Image";
import ImageSource from "ol/source/Image";
import type { RasterDocument } from "../api/generated";
import type { RasterAsked } from "../api/service";
import { cell_px, picture_of, type RasterInks } from "./raster_image";

const most_cells = 160;

const on_earth = (longitude: number) => longitude - 360 * Math.round(longitude / 360);

/** What to ask for so that an extent in degrees is covered with cells of about six pixels. */
export function asked_of(extent: readonly number[], degrees_a_pixel: number): RasterAsked {
  const [west = 0, south = 0, east = 0, north = 0] = extent;
  const width = Math.max(16, Math.min(most_cells, Math.round((Math.min(east - west, 360) / degrees_a_pixel) / cell_px)));
  const all_round = east - west >= 360;
  return {
    west_deg: all_round ? -180 : on_earth(west),
    south_deg: Math.max(south, -90),
    east_deg: all_round ? 180 : on_earth(east),
    north_deg: Math.min(north, 90),
    width,
  };
}

/** One raster over the chart, asked for where one looks. It is laid out in degrees; the map brings it onto the chart's cone. */
export class RasterLayer {
  readonly of: ImageLayer<ImageSource>;
  private asking: AbortController | null = null;

  constructor(
    private readonly ask: (of: RasterAsked, signal: AbortSignal) => Promise<RasterDocument>,
    private inks: RasterInks,
    private readonly told: (raster: RasterDocument | null, fault: string | null) => void,
  ) {
    this.of = new ImageLayer<ImageSource>({ source: this.source() });
  }

  /** Asks anew: for another altitude, or because the inks are others. */
  renew(inks: RasterInks): void {
    this.inks = inks;
    this.of.setSource(this.source());
  }

  close(): void {
    this.asking?.abort();
  }

  private source(): ImageSource {
    return new ImageSource({
      projection: "EPSG:4326",
      loader: async (extent, resolution) => {
        this.asking?.abort();
        const asking = new AbortController();
        this.asking = asking;
        const asked = asked_of(extent, resolution);
        try {
          const raster = await this.ask(asked, asking.signal);
          this.told(raster, null);
          const west = asked.west_deg === -180 && asked.east_deg === 180 ? -180 : (extent[0] ?? 0);
          const east = west + (raster.rows[0]?.length ?? 0) * raster.cell_deg;
          return { image: picture_of(raster, this.inks), extent: [west, raster.south_deg, east, raster.north_deg] };
        } catch (fault) {
          if (!asking.signal.aborted) this.told(null, fault instanceof Error ? fault.message : String(fault));
          // Nothing is drawn, and the map goes on.
          return { image: document.createElement("canvas"), extent };
        }
      },
    });
  }
}
