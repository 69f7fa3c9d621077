"""Writers: one frozen drawing to SVG, PDF, PNG and DXF."""
