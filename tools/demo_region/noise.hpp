#pragma once

#include <cstdint>

namespace omniway::demo_region {

/// Noise that gives the invented land its roughness: the same on every machine.
///   Model     gradients of an integer hash on a unit lattice, blended by a quintic; octaves of half the size and half the
///             strength each.
///   Domain    anywhere within a million lattice steps of the origin.
///   Accuracy  exact: nothing but sums, products and integers, so the bytes do not depend on a mathematics library.
///   Cost      some ten nanoseconds an octave.
///   Fails     never.
///   Source    gradient noise as in every textbook of computer graphics; the hash is a common finaliser of 32 bits.
double smooth_noise(double x, double y, std::uint32_t seed);  // within -1 to 1, zero on the lattice
double rough_noise(double x, double y, std::uint32_t seed, int octaves);

}  // namespace omniway::demo_region
