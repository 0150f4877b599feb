import { useLayoutEffect, useRef } from "preact/hooks";
import type { RasterDocument } from "../api/generated";
import type { Layers } from "../flight/address";
import { classes_seen, put_cell, type RasterInks } from "./raster_image";

type Class = RasterDocument["classes"][number];

const swatch = { width: 30, height: 18 } as const;

function Swatch(props: { what: RasterDocument["what"]; one: Class; inks: RasterInks }) {
  const { what, one, inks } = props;
  const canvas = useRef<HTMLCanvasElement>(null);
  // Before it is seen, and before it is printed.
  useLayoutEffect(() => {
    const context = canvas.current?.getContext("2d");
    if (!context) return;
    context.clearRect(0, 0, swatch.width, swatch.height);
    const side = 6;
    for (let x = 0; x < swatch.width; x += side) for (let y = 0; y < swatch.height; y += side) put_cell(context, what, one, inks, x, y, side);
  }, [what, one, inks]);
  return <canvas class="swatch" ref={canvas} width={swatch.width} height={swatch.height} aria-hidden="true" />;
}

/** What the signs of a raster mean, of those that are seen. */
export function RasterLegend(props: { raster: RasterDocument; inks: RasterInks }) {
  const { raster, inks } = props;
  const title = raster.what === "coverage" ? `stations heard at ${raster.altitude_msl_ft} ft` : `position by the best two lines at ${raster.altitude_msl_ft} ft, 95 %`;
  const classes = raster.what === "terrain" ? raster.classes.filter((one) => one.sign === "?" || one.sign === "~") : classes_seen(raster);
  return (
    <ul class="raster-legend" aria-label={raster.what === "terrain" ? "ground" : title}>
      <li>{raster.what === "terrain" ? "ground, lit from the north-west" : title}</li>
      {classes
        .filter((one) => one.sign !== "~")
        .map((one) => (
          <li key={one.sign}>
            <Swatch what={raster.what} one={one} inks={inks} />
            {one.says}
          </li>
        ))}
    </ul>
  );
}

/** Which layers lie on the chart. */
export function LayersBox(props: { layers: Layers; cruise_ft: number; set: (layers: Layers) => void }) {
  const { layers, cruise_ft, set } = props;
  const one = (says: string, value: Layers["heard"]) => (
    <label>
      <input type="radio" name="heard" checked={layers.heard === value} onChange={() => set({ ...layers, heard: value })} />
      {says}
    </label>
  );
  const altitude = (text: string) => {
    const feet = Number(text);
    if (text !== "" && feet >= -1500 && feet <= 60000) set({ ...layers, altitude_ft: Math.round(feet) });
  };
  return (
    <fieldset class="layers">
      <legend>layers</legend>
      <label>
        <input type="checkbox" checked={layers.terrain} onChange={(event) => set({ ...layers, terrain: event.currentTarget.checked })} />
        ground
      </label>
      <span>reception</span>
      {one("off", null)}
      {one("stations heard", "coverage")}
      {one("fix accuracy", "fix-accuracy")}
      {layers.heard && (
        <label>
          at
          <input
            type="number"
            min={-1500}
            max={60000}
            step={500}
            defaultValue={String(layers.altitude_ft ?? cruise_ft)}
            onChange={(event) => altitude(event.currentTarget.value)}
          />
          ft
        </label>
      )}
    </fieldset>
  );
}
