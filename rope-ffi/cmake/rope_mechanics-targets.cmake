# The targets, from where library and headers lie: a build folder or an installed tree.
if(TARGET rope_mechanics::rope_mechanics)
    return()
endif()

add_library(rope_mechanics::rope_mechanics SHARED IMPORTED GLOBAL)
set_target_properties(rope_mechanics::rope_mechanics PROPERTIES
    IMPORTED_LOCATION "${rope_mechanics_LIBRARY_DIR}/${rope_mechanics_SHARED_NAME}"
    IMPORTED_SONAME "${rope_mechanics_SONAME}"
    INTERFACE_INCLUDE_DIRECTORIES "${rope_mechanics_INCLUDE_DIR}")

# Only what a program calls stays in it: --gc-sections.
add_library(rope_mechanics::static STATIC IMPORTED GLOBAL)
set_target_properties(rope_mechanics::static PROPERTIES
    IMPORTED_LOCATION "${rope_mechanics_LIBRARY_DIR}/librope_mechanics.a"
    INTERFACE_INCLUDE_DIRECTORIES "${rope_mechanics_INCLUDE_DIR}"
    INTERFACE_LINK_LIBRARIES "util;rt;pthread;m;dl;gcc_s"
    INTERFACE_LINK_OPTIONS "LINKER:--gc-sections")
