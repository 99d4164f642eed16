// The half-cell equations of a LiFePO4 cell, which the library's table of voltages is held against.
#ifndef SW_TESTS_SUPPORT_HALF_CELLS_H
#define SW_TESTS_SUPPORT_HALF_CELLS_H

/// Positive electrode, V against lithium [safari-delacourt-2011], A63-A73, eq. 10. y: its lithium, 0 to 1.
double positive_half_cell_v(double y);

/// Graphite, V against lithium [safari-delacourt-2011], A562-A571. x: its lithium, 0 to 1.
double graphite_half_cell_v(double x);

#endif
