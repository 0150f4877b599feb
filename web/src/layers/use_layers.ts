import { useEffect, useRef, useState } from "preact/hooks";
import type { RasterDocument } from "../api/generated";
import * as service from "../api/service";
import type { ChartMap } from "../chart/chart_map";
import type { Layers } from "../flight/address";
import type { RasterInks } from "./raster_image";
import { RasterLayer } from "./raster_layer";

/** What a layer has shown last, or why it shows nothing. */
export interface LayerTold {
  readonly raster: RasterDocument | null;
  readonly fault: string | null;
}

const nothing: LayerTold = { raster: null, fault: null };

function useRaster(map: ChartMap | null, asked: string | null, inks: RasterInks, ask: (of: service.RasterAsked, signal: AbortSignal) => Promise<RasterDocument>): LayerTold {
  const [told, set_told] = useState<LayerTold>(nothing);
  const layer = useRef<RasterLayer | null>(null);
  useEffect(() => {
    set_told(nothing);
    if (!map || asked === null) return;
    const made = new RasterLayer(ask, inks, (raster, fault) => set_told((before) => ({ raster: raster ?? before.raster, fault })));
    layer.current = made;
    map.put_below(made.of);
    return () => {
      layer.current = null;
      map.take_away(made.of);
      made.close();
    };
  }, [map, asked]);
  useEffect(() => layer.current?.renew(inks), [inks]);
  return told;
}

/** Keeps the layers of the address bar on the map. */
export function useLayers(map: ChartMap | null, layers: Layers, cruise_ft: number, inks: RasterInks): { ground: LayerTold; heard: LayerTold } {
  const { heard } = layers;
  const altitude_ft = layers.altitude_ft ?? cruise_ft;
  return {
    ground: useRaster(map, layers.terrain ? "terrain" : null, inks, service.terrain),
    heard: useRaster(map, heard && `${heard} ${altitude_ft}`, inks, (of, signal) => service.heard(heard ?? "coverage", altitude_ft, of, signal)),
  };
}
