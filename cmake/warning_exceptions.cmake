# Every place where a warning is turned off, and why: omniway_warning_exception(<file> <flag> <reason>). None so far.
