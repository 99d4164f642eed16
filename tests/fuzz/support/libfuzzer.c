// libFuzzer's hook: half of the mutations are its own, half are those of the replay.
#include "fuzz/support/mutate.h"

size_t LLVMFuzzerMutate(uint8_t *data, size_t size, size_t room);
size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t room, unsigned seed);

size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t room, unsigned seed)
{
    return seed % 2 == 0 ? LLVMFuzzerMutate(data, size, room) : fuzz_mutate(data, size, room, seed);
}
