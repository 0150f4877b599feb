#include "store/detail/schema.hpp"

namespace omniway::store::detail {

const std::string_view tables_sql = R"sql(
CREATE TABLE navigation_checksum (
    navigation_checksum_id INTEGER PRIMARY KEY,
    algorithm TEXT NOT NULL,
    pages INTEGER NOT NULL,
    value TEXT NOT NULL
) STRICT;

CREATE TABLE source (
    source_id INTEGER PRIMARY KEY,
    file TEXT NOT NULL,
    format TEXT NOT NULL,
    cycle TEXT NOT NULL,
    validity TEXT NOT NULL,
    reference_year REAL NOT NULL,
    checksum TEXT NOT NULL
) STRICT;

CREATE TABLE station (
    station_id INTEGER PRIMARY KEY,
    first_station_origin_id INTEGER NOT NULL,
    station_origin_count INTEGER NOT NULL,
    ident TEXT NOT NULL,
    region TEXT NOT NULL,
    airport TEXT NOT NULL,
    name TEXT NOT NULL,
    frequency_hz REAL NOT NULL,
    azimuth TEXT NOT NULL,
    azimuth_latitude_deg REAL,
    azimuth_longitude_deg REAL,
    azimuth_service TEXT,
    declination_east_rad REAL,
    declination_from TEXT,
    variation_east_rad REAL,
    localizer_course_deg REAL,
    localizer_width_rad REAL,
    localizer_runway TEXT,
    localizer_category TEXT,
    glideslope_latitude_deg REAL,
    glideslope_longitude_deg REAL,
    glideslope_angle_rad REAL,
    glideslope_elevation_m REAL,
    glideslope_crossing_height_m REAL,
    dme_latitude_deg REAL,
    dme_longitude_deg REAL,
    dme_elevation_m REAL,
    dme_bias_m REAL,
    dme_service TEXT,
    out_of_service INTEGER NOT NULL
) STRICT;

CREATE TABLE station_origin (
    station_origin_id INTEGER PRIMARY KEY,
    station_id INTEGER NOT NULL REFERENCES station,
    source_id INTEGER NOT NULL REFERENCES source,
    line INTEGER NOT NULL
) STRICT;

CREATE TABLE fix (
    fix_id INTEGER PRIMARY KEY,
    ident TEXT NOT NULL,
    region TEXT NOT NULL,
    airport TEXT NOT NULL,
    name TEXT NOT NULL,
    type TEXT NOT NULL,
    latitude_deg REAL NOT NULL,
    longitude_deg REAL NOT NULL,
    source_id INTEGER NOT NULL REFERENCES source,
    line INTEGER NOT NULL
) STRICT;

CREATE TABLE airway_row (
    airway_row_id INTEGER PRIMARY KEY,
    area TEXT NOT NULL,
    designator TEXT NOT NULL,
    sequence INTEGER NOT NULL,
    point_kind TEXT NOT NULL,
    point_ident TEXT NOT NULL,
    point_region TEXT NOT NULL,
    point_airport TEXT NOT NULL,
    ends_continuous_part INTEGER NOT NULL,
    route_type TEXT NOT NULL,
    level TEXT NOT NULL,
    direction TEXT NOT NULL,
    outbound_course_deg REAL,
    distance_to_next_m REAL,
    inbound_course_deg REAL,
    minimum_published TEXT,
    minimum_m REAL,
    minimum_backward_published TEXT,
    minimum_backward_m REAL,
    maximum_m REAL,
    source_id INTEGER NOT NULL REFERENCES source,
    line INTEGER NOT NULL
) STRICT;

CREATE TABLE airport (
    airport_id INTEGER PRIMARY KEY,
    first_airport_origin_id INTEGER NOT NULL,
    airport_origin_count INTEGER NOT NULL,
    ident TEXT NOT NULL,
    region TEXT NOT NULL,
    name TEXT NOT NULL,
    latitude_deg REAL NOT NULL,
    longitude_deg REAL NOT NULL,
    variation_east_rad REAL,
    elevation_m REAL
) STRICT;

CREATE TABLE airport_origin (
    airport_origin_id INTEGER PRIMARY KEY,
    airport_id INTEGER NOT NULL REFERENCES airport,
    source_id INTEGER NOT NULL REFERENCES source,
    line INTEGER NOT NULL
) STRICT;

CREATE TABLE runway (
    runway_id INTEGER PRIMARY KEY,
    airport TEXT NOT NULL,
    ident TEXT NOT NULL,
    length_m REAL NOT NULL,
    bearing_magnetic_deg REAL,
    bearing_true_deg REAL,
    threshold_latitude_deg REAL,
    threshold_longitude_deg REAL,
    far_end_latitude_deg REAL,
    far_end_longitude_deg REAL,
    elevation_m REAL,
    displaced_m REAL NOT NULL,
    localizer TEXT NOT NULL,
    source_id INTEGER NOT NULL REFERENCES source,
    line INTEGER NOT NULL
) STRICT;

CREATE TABLE communication (
    communication_id INTEGER PRIMARY KEY,
    airport TEXT NOT NULL,
    type TEXT NOT NULL,
    name TEXT NOT NULL,
    frequency_hz REAL NOT NULL,
    source_id INTEGER NOT NULL REFERENCES source,
    line INTEGER NOT NULL
) STRICT;

CREATE TABLE marker (
    marker_id INTEGER PRIMARY KEY,
    airport TEXT NOT NULL,
    localizer TEXT NOT NULL,
    runway TEXT NOT NULL,
    kind TEXT NOT NULL,
    latitude_deg REAL NOT NULL,
    longitude_deg REAL NOT NULL,
    minor_axis_true_deg REAL,
    elevation_m REAL,
    source_id INTEGER NOT NULL REFERENCES source,
    line INTEGER NOT NULL
) STRICT;

CREATE TABLE procedure (
    procedure_id INTEGER PRIMARY KEY,
    first_procedure_branch_id INTEGER NOT NULL,
    procedure_branch_count INTEGER NOT NULL,
    airport TEXT NOT NULL,
    region TEXT NOT NULL,
    kind TEXT NOT NULL,
    ident TEXT NOT NULL,
    qualifiers TEXT NOT NULL
) STRICT;

CREATE TABLE procedure_branch (
    procedure_branch_id INTEGER PRIMARY KEY,
    procedure_id INTEGER NOT NULL REFERENCES procedure,
    first_procedure_leg_id INTEGER NOT NULL,
    procedure_leg_count INTEGER NOT NULL,
    route_type TEXT NOT NULL,
    transition TEXT NOT NULL
) STRICT;

CREATE TABLE procedure_leg (
    procedure_leg_id INTEGER PRIMARY KEY,
    procedure_branch_id INTEGER NOT NULL REFERENCES procedure_branch,
    sequence INTEGER NOT NULL,
    terminator TEXT NOT NULL,
    fix_kind TEXT,
    fix_ident TEXT,
    fix_region TEXT,
    fix_airport TEXT,
    recommended_kind TEXT,
    recommended_ident TEXT,
    recommended_region TEXT,
    recommended_airport TEXT,
    centre_kind TEXT,
    centre_ident TEXT,
    centre_region TEXT,
    centre_airport TEXT,
    theta_deg REAL,
    theta_is_true INTEGER,
    rho_m REAL,
    course_deg REAL,
    course_is_true INTEGER,
    distance_m REAL,
    time_s REAL,
    arc_radius_m REAL,
    turn TEXT NOT NULL,
    altitude_rule TEXT NOT NULL,
    altitude_1_m REAL,
    altitude_2_m REAL,
    speed_limit_m_per_s REAL,
    vertical_angle_rad REAL,
    description TEXT NOT NULL,
    source_id INTEGER NOT NULL REFERENCES source,
    line INTEGER NOT NULL
) STRICT;

CREATE TABLE sector_altitude (
    sector_altitude_id INTEGER PRIMARY KEY,
    first_safe_sector_id INTEGER NOT NULL,
    safe_sector_count INTEGER NOT NULL,
    airport TEXT NOT NULL,
    centre_kind TEXT NOT NULL,
    centre_ident TEXT NOT NULL,
    centre_region TEXT NOT NULL,
    centre_airport TEXT NOT NULL,
    source_id INTEGER NOT NULL REFERENCES source,
    line INTEGER NOT NULL
) STRICT;

CREATE TABLE safe_sector (
    safe_sector_id INTEGER PRIMARY KEY,
    sector_altitude_id INTEGER NOT NULL REFERENCES sector_altitude,
    from_magnetic_deg REAL NOT NULL,
    to_magnetic_deg REAL NOT NULL,
    altitude_m REAL NOT NULL,
    radius_m REAL NOT NULL
) STRICT;

CREATE TABLE grid_minimum (
    grid_minimum_id INTEGER PRIMARY KEY,
    south_deg INTEGER NOT NULL,
    west_deg INTEGER NOT NULL,
    altitude_m REAL,
    source_id INTEGER NOT NULL REFERENCES source,
    line INTEGER NOT NULL
) STRICT;

CREATE TABLE coastline (
    coastline_id INTEGER PRIMARY KEY,
    first_coastline_vertex_id INTEGER NOT NULL,
    coastline_vertex_count INTEGER NOT NULL
) STRICT;

CREATE TABLE coastline_vertex (
    coastline_vertex_id INTEGER PRIMARY KEY,
    coastline_id INTEGER NOT NULL REFERENCES coastline,
    latitude_deg REAL NOT NULL,
    longitude_deg REAL NOT NULL
) STRICT;
)sql";

const std::string_view terrain_tables_sql = R"sql(
CREATE TABLE terrain_checksum (
    terrain_checksum_id INTEGER PRIMARY KEY,
    algorithm TEXT NOT NULL,
    value TEXT NOT NULL
) STRICT;

CREATE TABLE terrain_source (
    terrain_source_id INTEGER PRIMARY KEY,
    file TEXT NOT NULL,
    format TEXT NOT NULL,
    projection TEXT NOT NULL,
    spacing_arc_seconds INTEGER NOT NULL
) STRICT;

CREATE TABLE terrain_tile (
    terrain_tile_id INTEGER PRIMARY KEY,
    south_quarters INTEGER NOT NULL,
    west_quarters INTEGER NOT NULL,
    nodes_per_side INTEGER NOT NULL,
    unknown_nodes INTEGER NOT NULL,
    checksum TEXT NOT NULL
) STRICT;

CREATE TABLE terrain_heights (
    terrain_heights_id INTEGER PRIMARY KEY REFERENCES terrain_tile,
    packed BLOB NOT NULL
) STRICT;
)sql";

const std::string_view indices_sql = R"sql(
CREATE INDEX communication_of_airport ON communication (airport);
CREATE INDEX procedure_of_airport ON procedure (airport);
CREATE INDEX sector_altitude_of_airport ON sector_altitude (airport);
)sql";

}  // namespace omniway::store::detail
