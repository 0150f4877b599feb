#include "store/detail/terrain_table.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <map>
#include <utility>

#include "base/contract.hpp"
#include "store/detail/columns.hpp"
#include "store/detail/schema.hpp"
#include "store/detail/tile_code.hpp"

namespace omniway::store::detail {

namespace {

constexpr std::array<int, 6> node_counts = {901, 451, 301, 151, 61, 31};

bool can_be(const TileRow& row) {
    const auto nodes = std::int64_t{row.nodes_per_side} * row.nodes_per_side;
    return row.block.south_quarters >= -360 && row.block.south_quarters < 360 &&
           row.block.west_quarters >= -720 && row.block.west_quarters < 720 &&
           std::find(node_counts.begin(), node_counts.end(), row.nodes_per_side) != node_counts.end() &&
           row.unknown_nodes >= 0 && row.unknown_nodes <= nodes && row.checksum.size() == 32;
}

// One checksum of all that terrain_tile says, so that no row of it can be changed, lost or added unseen.
std::string checksum_of_rows(const std::vector<TileRow>& rows) {
    std::string text;
    const auto add = [&text](std::int64_t number, char after) {
        std::array<char, 20> digits{};
        const auto end = std::to_chars(digits.begin(), digits.end(), number).ptr;
        text.append(digits.begin(), end).push_back(after);
    };
    for (const TileRow& row : rows) {
        add(row.key, ' ');
        add(row.block.south_quarters, ' ');
        add(row.block.west_quarters, ' ');
        add(row.nodes_per_side, ' ');
        add(row.unknown_nodes, ' ');
        text.append(row.checksum).push_back('\n');
    }
    return rows.empty() ? std::string() : checksum_of_text(text);
}

std::int64_t unknown_nodes_of(const earth::TerrainTile& tile) {
    return std::count(tile.metres.begin(), tile.metres.end(), earth::unknown_ground);
}

}  // namespace

TerrainTable read_terrain_table(const Database& database, std::string& trouble) {
    TerrainTable table;
    Statement there(database.handle(), "SELECT 1 FROM sqlite_schema WHERE name = 'terrain_checksum'");
    if (!there.step()) {
        trouble = there.ok() ? std::string() : database.last_message();
        return table;
    }
    Statement value(database.handle(), "SELECT value FROM terrain_checksum WHERE algorithm = 'XXH3-128'");
    table.checksum = value.step() ? std::string(value.value(0).text()) : std::string();
    Statement tiles(
        database.handle(),
        "SELECT terrain_tile_id, south_quarters, west_quarters, nodes_per_side, unknown_nodes, checksum "
        "FROM terrain_tile ORDER BY terrain_tile_id");
    while (tiles.step()) {
        const auto small = [&tiles](int column) {
            return static_cast<int>(
                std::clamp<std::int64_t>(tiles.value(column).integer(), -100'000, 100'000));
        };
        TileRow row{.key = tiles.value(0).integer(),
                    .block = {small(1), small(2)},
                    .nodes_per_side = small(3),
                    .unknown_nodes = tiles.value(4).integer(),
                    .checksum = std::string(tiles.value(5).text())};
        if (!can_be(row) || (!table.rows.empty() && !(table.rows.back().block < row.block))) {
            trouble = "terrain_tile " + std::to_string(row.key) + ": it cannot be as it is";
            return table;
        }
        table.rows.push_back(std::move(row));
    }
    Statement sources(database.handle(), "SELECT " + column_list<TerrainSource>(terrain_source_table) +
                                             " FROM terrain_source ORDER BY terrain_source_id");
    while (sources.step()) {
        Standing standing;
        TerrainSource source;
        Take take(sources);
        columns(take, terrain_source_table, standing);
        columns(take, source);
        if (!take.trouble().empty()) {
            trouble = "terrain_source: " + take.trouble();
            return table;
        }
        table.sources.push_back(std::move(source));
    }
    if (!value.ok() || !tiles.ok() || !sources.ok()) {
        trouble = "terrain: " + database.last_message();
    } else if (checksum_of_rows(table.rows) != table.checksum) {
        trouble = "the checksum of its terrain tiles does not match";
    }
    return table;
}

std::optional<std::string> packed_heights(const Database& database, const TileRow& row,
                                          std::string& trouble) {
    Statement heights(database.handle(), "SELECT packed FROM terrain_heights WHERE terrain_heights_id = ?");
    heights.bind(1, row.key);
    if (heights.step()) {
        return std::string(heights.value(0).bytes());
    }
    trouble = heights.ok() ? std::string("its heights are not there") : database.last_message();
    return std::nullopt;
}

std::optional<earth::TerrainTile> proved_tile(const TileRow& row, std::string_view heights,
                                              std::string& trouble) {
    if (checksum_of_tile(row.block, row.nodes_per_side, heights) != row.checksum) {
        trouble = "its checksum does not match";
        return std::nullopt;
    }
    auto tile = unpacked(heights, row.nodes_per_side);
    if (!tile || unknown_nodes_of(*tile) != row.unknown_nodes) {
        trouble = "its heights cannot be unpacked";
        return std::nullopt;
    }
    return tile;
}

TerrainSummary summary_of(const TerrainTable& table) {
    TerrainSummary summary;
    summary.tiles = table.rows.size();
    summary.checksum = table.checksum;
    summary.sources = table.sources;
    std::map<int, std::size_t> by_spacing;
    for (const TileRow& row : table.rows) {
        const auto side = static_cast<std::size_t>(row.nodes_per_side);
        summary.nodes += side * side;
        summary.unknown_nodes += static_cast<std::size_t>(row.unknown_nodes);
        ++by_spacing[900 / (row.nodes_per_side - 1)];
    }
    for (const auto& [spacing, tiles] : by_spacing) {
        summary.spacings.push_back({spacing, tiles});
    }
    return summary;
}

base::Result<TerrainWriting> write_terrain(Database& database, const Ground& ground,
                                           const base::Progress& progress) {
    TerrainWriting writing;
    if (!database.run("BEGIN") || !database.run(std::string(terrain_tables_sql))) {
        return writing;
    }
    Statement insert_tile(database.handle(), "INSERT INTO terrain_tile VALUES (?, ?, ?, ?, ?, ?)");
    Statement insert_heights(database.handle(), "INSERT INTO terrain_heights VALUES (?, ?)");
    TerrainTable table;
    table.sources = ground.sources;
    while (true) {
        auto piece = ground.next();
        if (!piece) {
            return tl::unexpected(piece.error());
        }
        if (!*piece) {
            break;
        }
        const GroundPiece& given = **piece;
        const std::string heights = packed(given.tile);
        TileRow row{.key = static_cast<std::int64_t>(table.rows.size()),
                    .block = given.block,
                    .nodes_per_side = given.tile.nodes_per_side,
                    .unknown_nodes = unknown_nodes_of(given.tile),
                    .checksum = checksum_of_tile(given.block, given.tile.nodes_per_side, heights)};
        OMNIWAY_EXPECTS(can_be(row) && (table.rows.empty() || table.rows.back().block < row.block));
        insert_tile.bind(1, row.key);
        insert_tile.bind(2, std::int64_t{row.block.south_quarters});
        insert_tile.bind(3, std::int64_t{row.block.west_quarters});
        insert_tile.bind(4, std::int64_t{row.nodes_per_side});
        insert_tile.bind(5, row.unknown_nodes);
        insert_tile.bind(6, std::string_view(row.checksum));
        insert_tile.run();
        insert_heights.bind(1, row.key);
        insert_heights.bind_bytes(2, heights);
        insert_heights.run();
        table.rows.push_back(std::move(row));
        progress.at("writing terrain", given.share);
        if (!insert_tile.ok() || !insert_heights.ok() || progress.cancelled()) {
            return writing;
        }
    }
    table.checksum = checksum_of_rows(table.rows);
    Statement insert_checksum(database.handle(), "INSERT INTO terrain_checksum VALUES (0, 'XXH3-128', ?)");
    insert_checksum.bind(1, std::string_view(table.checksum));
    insert_checksum.run();
    const std::string list = column_list<TerrainSource>(terrain_source_table);
    Statement insert_source(database.handle(),
                            "INSERT INTO terrain_source (" + list + ") VALUES (?, ?, ?, ?, ?)");
    for (std::size_t i = 0; i < table.sources.size(); ++i) {
        Put put(insert_source);
        columns(put, terrain_source_table, Standing{.key = static_cast<std::int64_t>(i)});
        columns(put, std::as_const(table.sources[i]));
        insert_source.run();
    }
    writing.written = insert_checksum.ok() && insert_source.ok() && database.run("COMMIT");
    writing.summary = summary_of(table);
    return writing;
}

}  // namespace omniway::store::detail
