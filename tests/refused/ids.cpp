// Places in the snapshot of things of two kinds (base/id.hpp). Form: tools/refused_to_compile.py.

#include "base/id.hpp"

namespace omniway::base {

struct Station {};
struct Fix {};
constexpr Id<Station> station{7};
constexpr Id<Fix> fix{7};

#if SNIPPET == 0
constexpr bool right_1 = station == Id<Station>{7};
constexpr Id<Fix> right_2 = fix;
constexpr Id<Fix> right_3{7};

#elif SNIPPET == 1  // the seventh station is not the seventh fix; says: no match for 'operator=='
constexpr bool wrong = station == fix;

#elif SNIPPET == 2  // nor is it taken for it; says: conversion from
constexpr Id<Fix> wrong = station;

#elif SNIPPET == 3  // a bare number is no place of anything; says: conversion from 'int' to non-scalar type
constexpr Id<Fix> wrong = 7;

#endif

}  // namespace omniway::base
