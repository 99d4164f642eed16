// Any bytes as a van file, with whatever files it names.
#include "fuzz/support/read_files.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_input input = {data, size};
    fuzz_read_files(SW_FILE_VAN, &input);
    return 0;
}
