import { get as projection_of, fromLonLat } from "ol/proj";
import { register } from "ol/proj/proj4";
import type Projection from "ol/proj/Projection";
import proj4 from "proj4";
import type { AboutDocument, Place } from "../api/pictures";

type Region = NonNullable<AboutDocument["chart"]>;

/** Lambert's conformal conic of the region: true along the two parallels that the service names. */
export class ChartProjection {
  readonly of: Projection;
  private readonly central_deg: number;

  constructor(region: Region) {
    const [south, north] = region.standard_parallels_deg;
    const code = "OMNIWAY:LAMBERT";
    this.central_deg = region.centre.longitude_deg;
    proj4.defs(
      code,
      `+proj=lcc +lat_1=${south} +lat_2=${north} +lat_0=${region.centre.latitude_deg} +lon_0=${this.central_deg} +datum=WGS84 +units=m +no_defs`,
    );
    register(proj4);
    const projection = projection_of(code);
    if (!projection) throw new Error("the projection of the chart was not registered");
    this.of = projection;
    const corners = [
      this.xy({ latitude_deg: region.south_deg, longitude_deg: region.west_deg }),
      this.xy({ latitude_deg: region.south_deg, longitude_deg: region.east_deg }),
      this.xy({ latitude_deg: region.north_deg, longitude_deg: region.west_deg }),
      this.xy({ latitude_deg: region.north_deg, longitude_deg: region.east_deg }),
      this.xy({ latitude_deg: region.south_deg, longitude_deg: this.central_deg }),
      this.xy({ latitude_deg: region.north_deg, longitude_deg: this.central_deg }),
    ];
    const [xs, ys] = [corners.map(([x]) => x), corners.map(([, y]) => y)];
    projection.setExtent([Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)]);
    projection.setWorldExtent([region.west_deg, region.south_deg, region.east_deg, region.north_deg]);
  }

  xy(place: Place): [number, number] {
    return this.lon_lat([place.longitude_deg, place.latitude_deg]);
  }

  lon_lat(place: readonly [number, number]): [number, number] {
    // Beyond the antimeridian the chart goes on as it began: longitudes are taken about the middle.
    const about = place[0] - this.central_deg;
    const longitude = this.central_deg + about - 360 * Math.round(about / 360);
    const [x, y] = fromLonLat([longitude, place[1]], this.of);
    return [x ?? 0, y ?? 0];
  }

  /** Where true north lies on the chart there, in degrees clockwise from straight up. */
  north_deg(place: Place): number {
    const [x, y] = this.xy(place);
    const [north_x, north_y] = this.xy({ latitude_deg: place.latitude_deg + 0.01, longitude_deg: place.longitude_deg });
    return (Math.atan2(north_x - x, north_y - y) * 180) / Math.PI;
  }
}
