#include "cockpit/morse.hpp"

#include <gtest/gtest.h>

namespace omniway::cockpit {

// ITU-R M.1677-1, the letter and figure tables (trade-facts 10.6, [seen]).
TEST(TruthMorse, SoundsTheLettersAndFiguresOfTheInternationalCode) {
    EXPECT_EQ(morse("ABQ"), ".- -... --.-");
    EXPECT_EQ(morse("SOS"), "... --- ...");
    EXPECT_EQ(morse("XYZ"), "-..- -.-- --..");
    EXPECT_EQ(morse("I0196"), ".. ----- .---- ----. -....");
}

TEST(CaseMorse, LeavesOutWhatHasNoCode) {
    EXPECT_EQ(morse("A-B"), ".- -...");
    EXPECT_EQ(morse(""), "");
}

}  // namespace omniway::cockpit
