//! What the user declares in the site file, checked; nothing computed.
