"""Written visits, played against the real parts. Imports talk."""
