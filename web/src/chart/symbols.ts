import type { StationKind } from "../api/pictures";

/** The inks of a chart: by day on paper, by night on a dim screen. */
export interface Inks {
  readonly paper: string;
  readonly ink: string;
  readonly soft: string;
  readonly faint: string;
  readonly land: string;
  readonly shore: string;
}

type Pen = CanvasRenderingContext2D;

function canvas_of(size: number, draw: (pen: Pen) => void): HTMLCanvasElement {
  // Twice as fine as a pixel of the page, so that it stays sharp on a tablet.
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = size * 2;
  const pen = canvas.getContext("2d");
  if (pen) {
    pen.scale(2, 2);
    pen.translate(size / 2, size / 2);
    draw(pen);
  }
  return canvas;
}

function polygon(pen: Pen, corners: number, radius: number, first_deg: number): void {
  pen.beginPath();
  for (let corner = 0; corner < corners; ++corner) {
    const angle = ((first_deg + (360 / corners) * corner) * Math.PI) / 180;
    pen.lineTo(radius * Math.sin(angle), -radius * Math.cos(angle));
  }
  pen.closePath();
}

function dot(pen: Pen, radius = 1.4): void {
  pen.beginPath();
  pen.arc(0, 0, radius, 0, 2 * Math.PI);
  pen.fill();
}

function square(pen: Pen, half: number): void {
  pen.beginPath();
  pen.rect(-half, -half, 2 * half, 2 * half);
}

/** Three solid lobes on the alternate sides of a hexagon, as of a VORTAC. */
function lobes(pen: Pen): void {
  for (const side_deg of [0, 120, 240]) {
    pen.save();
    pen.rotate((side_deg * Math.PI) / 180);
    pen.fillRect(-4, -9.6, 8, 3.4);
    pen.restore();
  }
}

/** The aid's symbol of ICAO Annex 4, Appendix 2 (radio navigation aids); the localizer has none there and is not drawn as an aid. */
const shapes: Readonly<Record<Exclude<StationKind, "localizer">, (pen: Pen) => void>> = {
  vor: (pen) => {
    polygon(pen, 6, 8, 30);
    pen.stroke();
    dot(pen);
  },
  vor_dme: (pen) => {
    square(pen, 8.5);
    pen.stroke();
    polygon(pen, 6, 8, 30);
    pen.stroke();
    dot(pen);
  },
  vortac: (pen) => {
    polygon(pen, 6, 7, 30);
    pen.stroke();
    lobes(pen);
    dot(pen);
  },
  tacan: (pen) => {
    // The outline goes round the three lobes.
    pen.beginPath();
    for (const side_deg of [0, 120, 240]) {
      for (const [x, y] of [
        [-3.6, -4.2],
        [-3.6, -9],
        [3.6, -9],
        [3.6, -4.2],
      ] as const) {
        const angle = (side_deg * Math.PI) / 180;
        pen.lineTo(x * Math.cos(angle) - y * Math.sin(angle), x * Math.sin(angle) + y * Math.cos(angle));
      }
    }
    pen.closePath();
    pen.stroke();
    dot(pen);
  },
  dme: (pen) => {
    square(pen, 7);
    pen.stroke();
    dot(pen);
  },
  ndb: (pen) => dotted_rings(pen),
  ndb_dme: (pen) => {
    dotted_rings(pen);
    square(pen, 10);
    pen.stroke();
  },
};

function dotted_rings(pen: Pen): void {
  dot(pen, 2);
  for (const [radius, dots] of [
    [4.6, 10],
    [7.2, 16],
    [9.8, 22],
  ] as const) {
    for (let count = 0; count < dots; ++count) {
      const angle = (2 * Math.PI * count) / dots;
      pen.beginPath();
      pen.arc(radius * Math.cos(angle), radius * Math.sin(angle), 0.75, 0, 2 * Math.PI);
      pen.fill();
    }
  }
}

export function station_symbol(kind: StationKind, inks: Inks, used: boolean): HTMLCanvasElement | null {
  if (kind === "localizer") return null;
  return canvas_of(24, (pen) => {
    // On paper of its own, so that a line ends at the symbol and does not run through it.
    pen.fillStyle = inks.paper;
    pen.beginPath();
    pen.arc(0, 0, 9.5, 0, 2 * Math.PI);
    pen.fill();
    pen.strokeStyle = pen.fillStyle = used ? inks.ink : inks.soft;
    pen.lineWidth = used ? 1.7 : 1.2;
    shapes[kind](pen);
  });
}

/** A ring of ten-degree marks with its zero radial upwards; the chart turns it to where that lies. */
export function rose(inks: Inks, radius: number): HTMLCanvasElement {
  return canvas_of(2 * radius + 12, (pen) => {
    pen.strokeStyle = pen.fillStyle = inks.faint;
    pen.lineWidth = 1;
    pen.beginPath();
    pen.arc(0, 0, radius, 0, 2 * Math.PI);
    pen.stroke();
    for (let radial = 0; radial < 360; radial += 10) {
      pen.save();
      pen.rotate((radial * Math.PI) / 180);
      pen.beginPath();
      pen.moveTo(0, -radius);
      pen.lineTo(0, -radius + (radial % 30 === 0 ? 7 : 4));
      pen.stroke();
      pen.restore();
    }
    pen.beginPath();
    pen.moveTo(0, -radius - 5);
    pen.lineTo(-4, -radius + 3);
    pen.lineTo(4, -radius + 3);
    pen.closePath();
    pen.fill();
  });
}

/** The aircraft at the cursor: a cross of wings, nose up. */
export function aircraft(inks: Inks): HTMLCanvasElement {
  return canvas_of(30, (pen) => {
    for (const [colour, width] of [
      [inks.paper, 6.5],
      [inks.ink, 2.6],
    ] as const) {
      pen.strokeStyle = colour;
      pen.lineWidth = width;
      pen.lineCap = "round";
      pen.beginPath();
      pen.moveTo(0, -10);
      pen.lineTo(0, 10);
      pen.moveTo(-10, -1);
      pen.lineTo(10, -1);
      pen.moveTo(-4, 9);
      pen.lineTo(4, 9);
      pen.stroke();
    }
  });
}

/** The elliptical marker beacon of ICAO Annex 4, Appendix 2: a stippled lens, long across the approach; the chart turns its upright to the minor axis. */
export function marker_beacon(inks: Inks): HTMLCanvasElement {
  return canvas_of(34, (pen) => {
    pen.beginPath();
    pen.moveTo(-15, 0);
    pen.quadraticCurveTo(0, -11, 15, 0);
    pen.quadraticCurveTo(0, 11, -15, 0);
    pen.closePath();
    pen.fillStyle = inks.paper;
    pen.fill();
    pen.strokeStyle = pen.fillStyle = inks.soft;
    pen.lineWidth = 1.2;
    pen.stroke();
    for (const [x, y] of [
      [-8, 0],
      [-4, -1.8],
      [-4, 1.8],
      [0, -3],
      [0, 0],
      [0, 3],
      [4, -1.8],
      [4, 1.8],
      [8, 0],
    ] as const) {
      pen.beginPath();
      pen.arc(x, y, 0.75, 0, 2 * Math.PI);
      pen.fill();
    }
  });
}

export function airport(inks: Inks): HTMLCanvasElement {
  return canvas_of(24, (pen) => {
    pen.strokeStyle = inks.soft;
    pen.lineWidth = 1.5;
    pen.beginPath();
    pen.arc(0, 0, 5.5, 0, 2 * Math.PI);
    pen.stroke();
    pen.beginPath();
    pen.moveTo(0, -10);
    pen.lineTo(0, 10);
    pen.stroke();
  });
}
