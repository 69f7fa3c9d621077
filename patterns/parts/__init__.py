"""What several structures share below them: linings, joints, hinges, albums, their drawings."""
