import { addCoordinateTransforms, addProjection } from "ol/proj";
import Projection from "ol/proj/Projection";
import proj4 from "proj4";
import type { AboutDocument, Place } from "../api/pictures";

type Region = NonNullable<AboutDocument["chart"]>;

interface Cone {
  forward(place: [number, number]): [number, number];
  inverse(place: [number, number]): [number, number];
}

/** Lambert's conformal conic of the region: true along the two parallels that the service names. */
export class ChartProjection {
  readonly of: Projection;
  private readonly cone: Cone;
  private readonly central_deg: number;

  constructor(region: Region) {
    const [south, north] = region.standard_parallels_deg;
    const code = "OMNIWAY:LAMBERT";
    this.central_deg = region.centre.longitude_deg;
    this.cone = proj4(
      `+proj=lcc +lat_1=${south} +lat_2=${north} +lat_0=${region.centre.latitude_deg} +lon_0=${this.central_deg} +datum=WGS84 +units=m +no_defs`,
    );
    const corners = [
      this.xy({ latitude_deg: region.south_deg, longitude_deg: region.west_deg }),
      this.xy({ latitude_deg: region.south_deg, longitude_deg: region.east_deg }),
      this.xy({ latitude_deg: region.north_deg, longitude_deg: region.west_deg }),
      this.xy({ latitude_deg: region.north_deg, longitude_deg: region.east_deg }),
      this.xy({ latitude_deg: region.south_deg, longitude_deg: this.central_deg }),
      this.xy({ latitude_deg: region.north_deg, longitude_deg: this.central_deg }),
    ];
    const [xs, ys] = [corners.map(([x]) => x), corners.map(([, y]) => y)];
    this.of = new Projection({
      code,
      units: "m",
      extent: [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)],
      worldExtent: [region.west_deg, region.south_deg, region.east_deg, region.north_deg],
    });
    // Not by ol/proj/proj4: that makes ready every pair of some hundred projections, for a fifth of a second.
    addProjection(this.of);
    addCoordinateTransforms(
      "EPSG:4326",
      this.of,
      ([longitude, latitude]) => this.lon_lat([longitude ?? 0, latitude ?? 0]),
      ([x, y]) => this.cone.inverse([x ?? 0, y ?? 0]),
    );
  }

  xy(place: Place): [number, number] {
    return this.lon_lat([place.longitude_deg, place.latitude_deg]);
  }

  /** The inverse of xy. */
  place(xy: [number, number]): Place {
    const [longitude, latitude] = this.cone.inverse(xy);
    return { latitude_deg: latitude, longitude_deg: longitude - 360 * Math.round(longitude / 360) };
  }

  lon_lat(place: readonly [number, number]): [number, number] {
    // Beyond the antimeridian the chart goes on as it began: longitudes are taken about the middle.
    const about = place[0] - this.central_deg;
    const longitude = this.central_deg + about - 360 * Math.round(about / 360);
    const [x, y] = this.cone.forward([longitude, place[1]]);
    return [x, y];
  }

  /** Where true north lies on the chart there, in degrees clockwise from straight up. */
  north_deg(place: Place): number {
    const [x, y] = this.xy(place);
    const [north_x, north_y] = this.xy({ latitude_deg: place.latitude_deg + 0.01, longitude_deg: place.longitude_deg });
    return (Math.atan2(north_x - x, north_y - y) * 180) / Math.PI;
  }
}
