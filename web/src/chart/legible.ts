/**
 * What must be legible at which scale, in metres of the ground to a pixel: below the figure it is drawn, above it is left out so
 * that what remains can be read.
 */
export const drawn_below = {
  station_label: 1400,
  used_label: Infinity,
  rose: 420,
  airway: 1500,
  airway_designator: 700,
  airway_figures: 260,
  fix: 320,
  fix_label: 260,
  airport_label: 900,
  marker: 120,
} as const;
