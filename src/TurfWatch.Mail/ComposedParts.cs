namespace TurfWatch.Mail;

/// <summary>What a reader sees of a message, for files and previews.</summary>
/// <param name="Subject">Subject line.</param>
/// <param name="Text">Text part, lines ended by LF.</param>
/// <param name="Html">HTML part, a whole document; its pictures are in it.</param>
public sealed record ComposedParts(string Subject, string Text, string Html);
