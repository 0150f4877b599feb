#include "radio/service_volume.hpp"

#include <algorithm>
#include <vector>

#include <gtest/gtest.h>

#include "radio/line_of_sight.hpp"

namespace omniway::radio {

using base::Altitude;
using base::Angle;
using base::Length;
using navdata::ServiceClass;

namespace {

double radius_nm(ServiceClass service, double feet) {
    const auto radius = service_radius(service, Length::feet(feet));
    return radius ? radius->nautical_miles() : -1.0;
}

struct Published {
    double from_ft;
    double to_ft;
    bool to_included;
    double radius_nm;
};

// The greatest radius just inside and just outside each edge of every row, worked out from the rows as typed below.
void expect_rows(ServiceClass service, const std::vector<Published>& rows) {
    std::vector<double> heights;
    for (const Published& row : rows) {
        for (const double edge : {row.from_ft, row.to_ft}) {
            heights.insert(heights.end(), {edge - 1.0, edge, edge + 1.0});
        }
        heights.push_back((row.from_ft + row.to_ft) / 2);
    }
    for (const double height : heights) {
        if (height < rows.front().from_ft) {
            continue;  // the lower edge is a curve, below
        }
        double greatest = -1.0;
        for (const Published& row : rows) {
            if (height >= row.from_ft && (row.to_included ? height <= row.to_ft : height < row.to_ft)) {
                greatest = std::max(greatest, row.radius_nm);
            }
        }
        EXPECT_EQ(radius_nm(service, height), greatest) << height;
    }
}

}  // namespace

// AIM table 1-1-1 as printed in trade-facts 1.1, every row ([seen]; DL/DH above 12,900 ft [memory]).
TEST(TruthServiceVolume, EveryClassOfVorAndDmeReachesItsPublishedRadii) {
    expect_rows(ServiceClass::terminal, {{1000, 12000, true, 25}});
    expect_rows(ServiceClass::low, {{1000, 18000, true, 40}});
    expect_rows(ServiceClass::high,
                {{1000, 14500, true, 40}, {14500, 60000, true, 100}, {18000, 45000, true, 130}});
    expect_rows(ServiceClass::vor_low, {{1000, 5000, false, 40}, {5000, 18000, false, 70}});
    expect_rows(ServiceClass::vor_high, {{1000, 5000, false, 40},
                                         {5000, 14500, false, 70},
                                         {14500, 60000, true, 100},
                                         {18000, 45000, true, 130}});
    expect_rows(ServiceClass::dme_low, {{12900, 18000, false, 130}});
    expect_rows(ServiceClass::dme_high, {{12900, 60000, true, 100}, {12900, 45000, true, 130}});
}

// The overlaps that trade-facts 1.1 works out, [computed] there.
TEST(TruthServiceVolume, WhereRowsOverlapTheGreaterRadiusCounts) {
    for (const ServiceClass service : {ServiceClass::high, ServiceClass::vor_high}) {
        EXPECT_EQ(radius_nm(service, 20000), 130);
        EXPECT_EQ(radius_nm(service, 50000), 100);
    }
}

// AIM table 1-1-1: DL and DH are line of sight up to 12,900 ft (the first words [seen]). 139.7 NM at 12,900 ft in trade-facts 2.
TEST(TruthServiceVolume, TheNewClassesOfDmeReachAsFarAsTheyAreSeenBelow12900Feet) {
    for (const ServiceClass service : {ServiceClass::dme_low, ServiceClass::dme_high}) {
        EXPECT_NEAR(radius_nm(service, 12899.9), 139.7, 0.05);
        EXPECT_NEAR(radius_nm(service, 1000), 38.9, 0.05);
        EXPECT_EQ(radius_nm(service, 12900), 130);
    }
}

// AIM table 1-1-2 as printed in trade-facts 1.2 (radii [seen]): the same at all altitudes.
TEST(TruthServiceVolume, BeaconsReachByTheirPowerAtEveryHeight) {
    for (const double feet : {-500.0, 0.0, 500.0, 3000.0, 20000.0, 60000.0}) {
        EXPECT_EQ(radius_nm(ServiceClass::compass_locator, feet), 15);
        EXPECT_EQ(radius_nm(ServiceClass::ndb_medium, feet), 25);
        EXPECT_EQ(radius_nm(ServiceClass::ndb, feet), 50);
        EXPECT_EQ(radius_nm(ServiceClass::ndb_high, feet), 75);
    }
}

// Instrument Procedures Handbook ch. 3 [seen]: off airways, the greatest spacing of aids is 200 NM above FL450 (H), 260 NM from
// 18,000 ft to FL450 (H), 200 NM from 14,500 to 17,999 ft (H) and 80 NM below 18,000 ft (L): two radii.
TEST(TruthServiceVolume, AidsStandTwoRadiiApartOffAirways) {
    EXPECT_EQ(2 * radius_nm(ServiceClass::high, 45100), 200);
    EXPECT_EQ(2 * radius_nm(ServiceClass::high, 45000), 260);
    EXPECT_EQ(2 * radius_nm(ServiceClass::high, 18000), 260);
    EXPECT_EQ(2 * radius_nm(ServiceClass::high, 17999), 200);
    EXPECT_EQ(2 * radius_nm(ServiceClass::high, 14500), 200);
    EXPECT_EQ(2 * radius_nm(ServiceClass::low, 17999), 80);
}

// AIM 1-1-9 [seen].
TEST(TruthServiceVolume, ALocalizerReachesEighteenMilesWithinTenDegreesAndTenWithinThirtyFive) {
    const auto radius = [](double off_course) {
        const auto found = localizer_radius(Angle::degrees(off_course));
        return found ? found->nautical_miles() : -1.0;
    };
    EXPECT_EQ(radius(0), 18);
    EXPECT_EQ(radius(10), 18);
    EXPECT_EQ(radius(10.01), 10);
    EXPECT_EQ(radius(35), 10);
    EXPECT_EQ(radius(35.01), -1);
}

TEST(TruthServiceVolume, ALocalizerIsPromisedFromAThousandFeetAboveTerrainTo4500AboveItsAntenna) {
    const LocalizerAltitudes known = localizer_altitudes(Altitude::feet(200), Altitude::feet(1300));
    EXPECT_NEAR(known.lowest->feet(), 2300, 1e-9);
    EXPECT_NEAR(known.highest.feet(), 4700, 1e-9);
    EXPECT_FALSE(localizer_altitudes(Altitude::feet(200), std::nullopt).lowest) << "unknown is not zero";
}

// Annex 10 Vol I 3.1.5.3: 8 degrees each side to 10 NM [seen], from 0.45 to 1.75 of the angle [memory]: 1.35 to 5.25 degrees at 3.
TEST(TruthServiceVolume, AGlideslopeIsPromisedToTenMilesInAFanAboutItsAngle) {
    const auto at = [](double distance_nm, double off_deg, double elevation_deg) {
        return glideslope_volume({.distance = Length::nautical_miles(distance_nm),
                                  .off_course = Angle::degrees(off_deg),
                                  .elevation = Angle::degrees(elevation_deg)},
                                 Angle::degrees(3.0));
    };
    EXPECT_EQ(at(10, 8, 3), GlideslopeVolume::inside);
    EXPECT_EQ(at(10.01, 0, 3), GlideslopeVolume::beyond);
    EXPECT_EQ(at(5, 8.01, 3), GlideslopeVolume::beside);
    EXPECT_EQ(at(5, 0, 1.36), GlideslopeVolume::inside);
    EXPECT_EQ(at(5, 0, 1.34), GlideslopeVolume::below);
    EXPECT_EQ(at(5, 0, 5.24), GlideslopeVolume::inside);
    EXPECT_EQ(at(5, 0, 5.26), GlideslopeVolume::above);
}

TEST(CaseServiceVolume, AVolumeIsSaidInWords) {
    EXPECT_EQ(volume_text(ServiceClass::terminal), "25 NM from 1,000 to 12,000 ft above it");
    EXPECT_EQ(volume_text(ServiceClass::vor_low),
              "40 NM from 1,000 to below 5,000 ft, 70 NM from 5,000 to below 18,000 ft above it");
    EXPECT_EQ(volume_text(ServiceClass::dme_high),
              "line of sight below 12,900 ft, 100 NM from 12,900 to 60,000 ft, 130 NM from 12,900 to 45,000 "
              "ft above it");
    EXPECT_EQ(volume_text(ServiceClass::ndb), "50 NM at every height (50 to 1,999 W)");
    EXPECT_EQ(volume_text(ServiceClass::unknown), "");
}

TEST(LawServiceVolume, BelowAThousandFeetTheRadiusShrinksToNothingAtTheAntenna) {
    for (const ServiceClass service : {ServiceClass::terminal, ServiceClass::low, ServiceClass::vor_high}) {
        double last = 0.0;
        for (int feet = 0; feet <= 1000; feet += 50) {
            const double radius = radius_nm(service, feet);
            EXPECT_GE(radius, last);
            EXPECT_LE(radius, 40.0);
            last = radius;
        }
        EXPECT_EQ(radius_nm(service, 0), 0.0);
    }
}

TEST(LawServiceVolume, AnUnknownClassHasNoVolumeOfItsOwn) {
    EXPECT_EQ(radius_nm(ServiceClass::unknown, 5000), -1.0);
    EXPECT_TRUE(service_bands(ServiceClass::unknown).empty());
    for (const AidKind kind : {AidKind::vor, AidKind::distance, AidKind::ndb, AidKind::localizer}) {
        EXPECT_FALSE(service_bands(smallest_of(kind)).empty());
    }
}

}  // namespace omniway::radio
