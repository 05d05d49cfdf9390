//! From joints to motion: rates per turn of the drive, or what is locked or loose.
