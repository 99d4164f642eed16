#include "fuzz/support/invented_year.h"

#include "stillwatt/civil.h"

#include <string.h>

const char fuzz_year_header[] = "LOCATION,Lower Meadow,XX,ZZZ,invented,-,38.50,-109.25,-7.0,1212.5\n"
                                "DESIGN CONDITIONS,0\nTYPICAL/EXTREME PERIODS,0\nGROUND TEMPERATURES,0\n"
                                "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0\nCOMMENTS 1,none\nCOMMENTS 2,\n"
                                "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31\n";

static void write_row(int row, int first_year, fuzz_record *out)
{
    int y, month, day, light = row % 24 < 6 || row % 24 > 18 ? 0 : 100 + row % 613;
    sw_civil_from_days(sw_days_from_civil(first_year, 1, 1) + row / 24, &y, &month, &day);
    fuzz_note(out,
              "%d,%d,%d,%d,0,-,%.1f,5.5,40,88000,0,1412,300,%d,%d,%d,0,0,0,0,180,3.5,0,0,9999,99999,9,"
              "999999999,10,.05,2,88,0.2,0,0\n",
              y, month, day, row % 24 + 1, (row % 97) / 2.0 - 20, light, light + 1, light / 2);
}

const fuzz_year *fuzz_year_of(int leap)
{
    static fuzz_year years[2];
    fuzz_year *made = &years[leap];
    for (int row = 0; row < (leap ? FUZZ_YEAR_ROWS : 8760) && made->begin[row + 1] == 0; row++) {
        made->begin[row] = made->rows.length;
        write_row(row, leap ? 2004 : 2003, &made->rows);
        made->begin[row + 1] = made->rows.length;
    }
    return made;
}

fuzz_text fuzz_whole_year(int leap)
{
    const fuzz_year *made = fuzz_year_of(leap);
    size_t head = strlen(fuzz_year_header);
    fuzz_text text = {fuzz_memory(head + made->rows.length + 1), head + made->rows.length};
    memcpy(text.bytes, fuzz_year_header, head);
    memcpy(text.bytes + head, made->rows.text, made->rows.length + 1);
    return text;
}
