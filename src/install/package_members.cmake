# CPack runs it on the finished packages. The archive's members have the mode that the builder's umask gave them; nobody
# reads it, but the same source has to give the same bytes. (perl comes with dpkg-dev.)
set(script [==[
local $/; my $file = shift; open(my $in, "+<:raw", $file) or die "$file: $!"; my $all = <$in>;
for (my $at = 8; $at + 60 <= length $all; ) {     # behind "!<arch>\n"; a member's header has 60 bytes
  substr($all, $at + 40, 8) = "100644  ";         # the mode, in octal digits
  my $size = 0 + substr($all, $at + 48, 10);
  $at += 60 + $size + $size % 2;
}
seek($in, 0, 0); print $in $all; close($in) or die "$file: $!";
]==])
foreach(package ${CPACK_PACKAGE_FILES})
  execute_process(COMMAND perl -e "${script}" ${package} COMMAND_ERROR_IS_FATAL ANY)
endforeach()
