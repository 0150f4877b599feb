# Every place where a warning is turned off, and why: omniway_warning_exception(<file> <flag> <reason>).
omniway_warning_exception(src/app/detail/position_asked.cpp -Wno-maybe-uninitialized
  "GCC 12 with the sanitizers takes a state of std::regex for uninitialised, inside its own header")
omniway_warning_exception(src/navdata/snapshot.cpp -Wno-maybe-uninitialized
  "GCC 12 with the sanitizers takes the value of an empty std::optional that is only compared for uninitialised")
