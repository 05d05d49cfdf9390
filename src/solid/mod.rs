//! From shapes to watertight meshes.
