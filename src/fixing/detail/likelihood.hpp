#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "earth/local_frame.hpp"
#include "fixing/belief.hpp"
#include "radio/prepared_reception.hpp"

namespace omniway::fixing::detail {

/// What was chosen of a reading when its errors and blunders were summed over: the shares of each.
struct ReadingShares {
    double as_read = 0.0;
    double reciprocal = 0.0;
    double nothing = 0.0;
    std::vector<double> candidates;  // whatever is wrong beside
};

struct Shares {
    std::vector<ReadingShares> readings;
    double all_as_read = 0.0;  // and the heading indicator too
    double heading_off = 0.0;
    double heading_off_by_rad = 0.0;  // weighted with the share of it
    double total = 0.0;
};

/// How likely what was read is at a place of the plane, were the aircraft there now.
///   Model     fixing/belief.hpp.
///   Domain    the question must outlive it; places within 300 NM of the centre of the frame; any number of threads.
///   Accuracy  a first order in what wind and heading err by.
///   Cost      some tens of nanoseconds a reading; about() some microseconds.
///   Fails     never.
///   Source    fixing/belief.hpp.
class Likelihood {
    struct Row {
        double residual = 0.0;
        double deviation = 1.0;
        double wind_east = 0.0;  // what the prediction changes by a metre a second of more wind
        double wind_north = 0.0;
        double heading = 0.0;   // and by a radian that the heading indicator shows too much
        double by_metre = 0.0;  // and, at most, by a metre of place
    };
    enum class Taken { as_read, reciprocal, nothing };
    struct Component {
        double weight = 0.0;
        Taken taken = Taken::as_read;
        std::size_t site = 0;
        int rows = 0;
        std::array<Row, 2> row;
    };

    // What wind and heading are taken to err by, about which readings are taken to the first order.
    struct Bent {
        double wind_east_mps = 0.0;  // of the grid
        double wind_north_mps = 0.0;
        double heading_rad = 0.0;
    };

public:
    /// `centre`: of what is looked at, and of the frame; `kept`: of each reading, the candidates that can matter.
    Likelihood(const BeliefQuestion& question, const earth::LocalFrame& frame, earth::Position centre,
               const std::vector<std::vector<std::size_t>>& kept);

    /// What is the same for some miles about a place, but for what is heard.
    struct About {
        double convergence_rad = 0.0;
        double sine = 0.0;  // of it
        double cosine = 1.0;
        double variation_rad = 0.0;
        std::vector<double>
            heard;  // of each reading's candidates, in order: how much it weighs that it is heard there or not
        double silence = 1.0;  // of the readings that are silences
        Bent bent;
        Bent expected;          // what they are taken to err by before anything is read
        double wind_mps = 0.0;  // and the deviation of the wind from that
        std::vector<std::pair<double, Bent>>
            pieces;  // of the wind's error with their weights, where it is too wide to be taken at once
        double softened_m = 0.0;               // by so much of a place what is read is made wider
        std::vector<const Component*> chosen;  // of each that wind and heading bear on
        std::vector<std::vector<Component>>
            at_hand;  // of the readings that wind and heading bear on: room to work in
    };
    About about(earth::PlanePoint place) const;
    /// Says within how many metres of there nothing else is heard.
    double listen(earth::PlanePoint place, About& about) const;
    /// About what wind and heading come out as for places so near, readings are taken to the first order from then on: over miles that were flown since,
    /// angles and distances are no straight lines.
    void settle(earth::PlanePoint place, double within_m, About& about) const;

    /// A density, up to a factor that is the same everywhere. `about` has been listened to.
    double at(earth::PlanePoint place, About& about) const;
    /// About the most of it within so far, for passing over what cannot matter; not listened to.
    double at_most(earth::PlanePoint place, double within_m, About& about) const;
    /// The thinnest line near a place: metres to one standard deviation.
    double thinnest_m(earth::PlanePoint place, double within_m) const;
    void add_shares(earth::PlanePoint place, About& about, double weight, Shares& shares) const;
    Shares no_shares() const;
    /// Whether anything was read by the heading indicator, or flown by it since.
    bool by_heading() const { return by_heading_; }

private:
    enum class Kind { radial, distance, bearing, localizer, passage, last_known };
    struct Site {
        std::size_t candidate = 0;
        earth::PlanePoint at;
        double zero_rad =
            0.0;  // grid direction of what is read as zero; of a localizer its front course inbound
        double full_scale_rad = 0.0;
        double antenna_m = 0.0;
        double bias_m = 0.0;
        double up_m = 0.0;           // of the aircraft above it
        double chord_squared = 1.0;  // of heights above a sphere, by that at sea level
        double chance = 1.0;
        std::size_t heard_at = 0;  // its place among About::heard
    };
    struct Read {
        Kind kind = Kind::radial;
        std::size_t reading = 0;  // of the question's
        std::vector<Site> sites;
        double value = 0.0;  // radians, metres, or the way a needle stands
        double deviation = 0.0;
        double before_s = 0.0;
        // How the air has moved since, true.
        double air_east_m = 0.0;
        double air_north_m = 0.0;
        double moved_east_m = 0.0;  // with the wind
        double moved_north_m = 0.0;
        bool by_heading = false;
        bool carried = false;  // wind or heading bear on it
    };
    struct Sums;

    void prepare(const Reading& reading, std::size_t index, const std::vector<std::size_t>& kept);
    void carry(Read& read, base::Duration before) const;
    template <class Use>
    void components(const Read& read, earth::PlanePoint place, const About& about, const Use& use) const;
    double residual(const Read& read, const Site& site, earth::PlanePoint then, const About& about) const;
    double of_one_line(const Read& read, earth::PlanePoint place, const About& about) const;
    double simple(const Read& read, earth::PlanePoint place, const About& about) const;
    void take_at_hand(earth::PlanePoint place, About& about) const;
    void take_apart(earth::PlanePoint place, About& about) const;
    double of_carried(earth::PlanePoint place, About& about) const;
    template <class Leaf>
    void carried(std::size_t from, const Sums& sums, About& about, const Leaf& leaf) const;
    double of_readings(earth::PlanePoint place, About& about) const;
    double prior(earth::PlanePoint place) const;

    const BeliefQuestion& question_;
    earth::LocalFrame frame_;
    earth::Position centre_;
    earth::PlanePoint middle_;  // the centre
    std::vector<Read> reads_;   // those that wind and heading bear on last
    std::size_t first_carried_ = 0;
    bool by_heading_ = false;
    double wind_mps_ = 0.0;
    struct Listener {
        std::size_t reading = 0;
        double before_s = 0.0;
        bool silence = false;
        std::size_t read = 0;
        std::size_t heard_at = 0;
        earth::PlanePoint site;
        double convergence_rad = 0.0;  // there
        radio::PreparedReception reception;
    };
    std::vector<Listener> listeners_;
    std::size_t heard_ = 0;
    std::vector<earth::PlanePoint> way_;
    double way_deviation_m = 0.0;
    // Convergence and variation at the corners of a lattice about the centre.
    static constexpr int lattice_half = 8;
    static constexpr double lattice_cell_m = 40.0 * 1852.0;
    std::vector<std::array<double, 2>> lattice_;
};

}  // namespace omniway::fixing::detail
