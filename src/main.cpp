#include "src/program.h"

int main(int argc, char** argv) { return perrev::run_program(argc, argv); }
