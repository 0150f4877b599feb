#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace omniway::writers::detail {

/// A place on the page, y downward.
struct Point {
    double x_px = 0.0;
    double y_px = 0.0;
};

struct Box {
    double left_px = 0.0;
    double top_px = 0.0;
    double right_px = 0.0;
    double bottom_px = 0.0;

    bool holds(Point point) const;
    bool meets(const Box& other) const;
};

/// How wide a text stands on the page: every letter of the monospaced face is 0.602 of its size.
double text_width_px(std::string_view text, double size_px);

/// Text as it may stand in XML.
std::string escaped(std::string_view text);

enum class Anchor { start, middle, end };

/// Elements of an SVG in the order in which they are drawn.
///   Model     black on white, one face; text that stands on lines carries a white rim.
///   Domain    finite places.
///   Accuracy  a hundredth of a pixel as written.
///   Cost      strings.
///   Fails     breaks the contract on a place that is not finite.
///   Source    SVG 1.1.
class Drawing {
public:
    void text(Point at, std::string_view words, double size_px, Anchor anchor = Anchor::start,
              std::string_view more = {});
    void line(const std::vector<Point>& points, std::string_view attributes, std::string_view title = {});
    void shape(const std::vector<Point>& points, std::string_view attributes);
    void circle(Point centre, double radius_px, std::string_view attributes);
    void open(std::string_view attributes);
    void close();
    void append(const Drawing& other) { body_ += other.body_; }
    const std::string& body() const { return body_; }

private:
    std::string body_;
};

/// Where labels can stand so that they cover neither one another nor, where it can be helped, what is drawn.
///   Model     each label takes the best of some places round its anchor: none covered before all else, then few points of lines
///             under it, then near.
///   Domain    some hundred labels.
///   Accuracy  widths by the face's advance.
///   Cost      labels times places times what stands on the page.
///   Fails     never: where every place is taken, the least bad one, unless the label may be left out.
///   Source    common practice, no source.
class LabelPlaces {
public:
    explicit LabelPlaces(Box within) : within_(within) {}

    void avoid(const Box& box) { boxes_.push_back(box); }
    void avoid_line(const std::vector<Point>& points);
    /// Writes the lines of a label beside its anchor, `gap_px` away from it; whether there was room for it.
    bool put(Drawing& drawing, Point anchor, double gap_px, const std::vector<std::string>& lines,
             double size_px, bool may_be_left_out = false, std::string_view more = {});

private:
    double cost(const Box& box) const;

    Box within_;
    std::vector<Box> boxes_;
    std::vector<Point> points_;
};

}  // namespace omniway::writers::detail
