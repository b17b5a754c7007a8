# The date of everything in a package: SOURCE_DATE_EPOCH where it is set, else that of the package's changelog.
if(NOT DEFINED ENV{SOURCE_DATE_EPOCH})
  execute_process(
    COMMAND dpkg-parsechangelog --show-field Timestamp --file ${CPACK_COOLBAND_DEBIAN_DIR}/changelog
    OUTPUT_VARIABLE timestamp OUTPUT_STRIP_TRAILING_WHITESPACE COMMAND_ERROR_IS_FATAL ANY)
  set(ENV{SOURCE_DATE_EPOCH} ${timestamp})
endif()
